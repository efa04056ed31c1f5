// Package outputs switches pump, fans, element contactor and buzzer through
// GPIO lines, and brings them to their inert states.
//
// The inert state of each, and why:
//
//	pump       off   a loop that nobody watches must not be pumped dry or as slush
//	fans       off   nobody knows whether they would blow warm or cold
//	contactor  open  a tank that nobody watches must not be heated
//	buzzer     off   a dead program has nothing to say; silence on MQTT says it
//	charger    on    a dead program must not let the battery run flat; the battery's
//	                 own protection, not this line, keeps it from charging frozen
//
// Rest reaches them on every orderly exit, on a panic, and through the command
// "duskloop rest" when the process could not. What no program can do is left to
// the wiring: pull-downs (pull-ups where a line is active low) hold the inert
// state while the computer starts, hangs or has no power; a thermal cut-out on
// the element needs no line at all; a check valve keeps warm liquid from
// circulating by itself.
//
// Hazard, active-low boards: the kernel driver in use makes a line an output at
// low level before it can be set high, so an active-low relay sees a pulse of a
// few microseconds at start. A relay does not move in that time; a MOSFET does,
// harmlessly short. Prefer active-high boards.
package outputs

import (
	"errors"
	"fmt"

	"periph.io/x/conn/v3/gpio"

	"duskloop/control"
)

// Pin is the part of a GPIO line that is used.
type Pin interface {
	Out(gpio.Level) error
}

// Line is one output: the pin that switches it, and whether that is active at low
// level; what sets its duty; or both. Where neither is given nothing is fitted.
type Line struct {
	Pin Pin
	Low bool
	Dim Dimmer
}

// set drives the line. Off comes by the pin first, on by the pin last, so that nothing
// starts at another duty than the one wanted. Without a Dimmer any duty is on.
func (l Line) set(name string, duty float64) error {
	var errs []error
	on := duty > 0
	steps := []func() error{func() error { return l.dim(duty) }, func() error { return l.out(on) }}
	if !on {
		steps[0], steps[1] = steps[1], steps[0]
	}
	for _, step := range steps {
		if err := step(); err != nil {
			errs = append(errs, fmt.Errorf("switching %s: %w", name, err))
		}
	}
	return errors.Join(errs...)
}

func (l Line) dim(duty float64) error {
	if l.Dim == nil {
		return nil
	}
	return l.Dim.Dim(min(max(duty, 0), 1))
}

func (l Line) out(on bool) error {
	if l.Pin == nil {
		return nil
	}
	return l.Pin.Out(gpio.Level(on != l.Low))
}

// full is a switch's only other duty.
func full(on bool) float64 {
	if on {
		return 1
	}
	return 0
}

// Bank is the outputs of one loop. It is for one goroutine.
type Bank struct {
	Pump, Fans, Contactor, Buzzer Line
	ChargerOff                    Line // active: the battery's charger is held off
}

// Apply switches every output; one that fails does not keep the others from
// being switched. Lines are switched at each call, changed or not, so that a
// line disturbed from outside is corrected within a tick.
func (b *Bank) Apply(o control.Outputs) error {
	return errors.Join(
		b.Contactor.set("contactor", full(o.Closed)),
		b.Pump.set("pump", float64(o.Pump)),
		b.Fans.set("fans", float64(o.Fans)),
		b.Buzzer.set("buzzer", full(o.Buzzer)),
		b.ChargerOff.set("charger", full(o.ChargerOff)),
	)
}

// Rest brings every output to its inert state.
func (b *Bank) Rest() error { return b.Apply(control.Outputs{}) }
