package agent

import (
	"context"
	"errors"
	"fmt"
	"time"

	"periph.io/x/conn/v3/gpio"
	"periph.io/x/conn/v3/i2c"

	"duskloop/agent/config"
	"duskloop/agent/outputs"
	"duskloop/control"
	"duskloop/sensors"
	"duskloop/sensors/onewire"
)

// Hardware is the board: lines by the label of their chip, buses by name.
type Hardware interface {
	Output(chip string, line int) (gpio.PinOut, error)
	Input(chip string, line int) (gpio.PinIn, error)
	Bus(name string) (i2c.BusCloser, error)
	Close() error
}

// Bench is a real loop: its probes and meter asked in the background, its
// outputs on lines. It is the Sight and the Hands of the loop that it serves.
type Bench struct {
	outputs.Bank
	poller *sensors.Poller
	others *strangers // nil where the bus cannot be looked through
	names  [control.Places]string
	level  gpio.PinIn
}

// A dead probe answers after two to four seconds; more than twice that is a
// read that will not come back.
const readDeadline = 8 * time.Second

// OpenBench opens what the file names. Lines are brought to rest at once. A line
// that cannot be had is an error, because a pump that cannot be stopped must not
// be started; a meter or a bus of probes that cannot be had is a reading that
// fails, and the decision core knows what to do about that.
func OpenBench(f *config.File, hw Hardware) (*Bench, error) {
	b := &Bench{}
	at := linesOf(f)
	if err := errors.Join(b.openLines(&at, hw), b.openLevel(f.Loop().Level, hw)); err != nil {
		return nil, err
	}
	if err := b.Rest(); err != nil {
		return nil, fmt.Errorf("bringing outputs to rest: %w", err)
	}
	b.openSensors(f, hw)
	return b, nil
}

// openLines opens everything that switches: lines, and what sets duties.
func (b *Bench) openLines(at *lines, hw Hardware) error {
	var errs []error
	d := dimmers{at: at.Pulses, hw: hw}
	for _, x := range []struct {
		name  string
		drive config.Drive
		to    *outputs.Line
	}{
		{"pump", at.Pump, &b.Pump}, {"fans", at.Fans, &b.Fans},
		{"contactor", config.Drive{Line: at.Contactor}, &b.Contactor}, {"buzzer", config.Drive{Line: at.Buzzer}, &b.Buzzer},
		{"charger", config.Drive{Line: at.Charger}, &b.ChargerOff},
	} {
		var err error
		if x.to.Dim, err = d.of(x.drive); err != nil {
			errs = append(errs, fmt.Errorf("duty of the %s: %w", x.name, err))
		}
		if !x.drive.Line.Fitted() {
			continue
		}
		pin, err := hw.Output(string(x.drive.Chip), int(x.drive.Number))
		if err != nil {
			errs = append(errs, fmt.Errorf("line of the %s: %w", x.name, err))
			continue
		}
		x.to.Pin, x.to.Low = pin, bool(x.drive.Low)
	}
	return errors.Join(errs...)
}

// openLevel opens the level switch, where there is one.
func (b *Bench) openLevel(l config.Line, hw Hardware) error {
	if !l.Fitted() {
		return nil
	}
	var err error
	if b.level, err = hw.Input(string(l.Chip), int(l.Number)); err != nil {
		return fmt.Errorf("line of the level switch: %w", err)
	}
	return nil
}

// openSensors wires probes and meter to a poller.
func (b *Bench) openSensors(f *config.File, hw Hardware) {
	wiring := sensors.Wiring{Meter: newLateMeter(f, hw)}
	var probes []string
	for p := range control.Places {
		b.names[p] = string(f.Loop().Probes[p].ID)
		if b.names[p] != "" {
			probes = append(probes, b.names[p])
		}
	}
	bus := openProbes(f, hw)
	wiring.Buses, b.others = []sensors.Wired{{Bus: bus, Probes: probes}}, newStrangers(bus, probes)
	b.poller = sensors.NewPoller(wiring, f.Daemon.Period.Duration(), readDeadline)
}

func openProbes(f *config.File, hw Hardware) sensors.Bus {
	if f.Daemon.Probes == config.BridgeBus {
		return newLateBridge(f, hw)
	}
	tree, err := onewire.OpenSysfs(string(f.Daemon.SysRoot))
	if err != nil {
		return noBus{fmt.Errorf("opening the kernel's tree of probes: %w", err)}
	}
	return onewire.New(tree)
}

// Run asks probes and meter until ctx ends.
func (b *Bench) Run(ctx context.Context) { b.poller.Run(ctx) }

// Look is the latest attempt at everything.
func (b *Bench) Look(time.Time) Look {
	look := Look{Power: b.poller.Power()}
	for p, name := range b.names {
		if name != "" {
			look.Probes[p] = b.poller.Latest(name)
		}
	}
	if b.level != nil {
		look.Level = control.LevelLow
		if b.level.Read() == gpio.High {
			look.Level = control.LevelGood
		}
	}
	return look
}

// noBus stands where the tree of probes could not be opened.
type noBus struct{ err error }

func (noBus) Begin(context.Context) {}

func (n noBus) Read(_ context.Context, probe string) sensors.Reading {
	return sensors.Reading{Probe: probe, At: time.Now(), Cause: sensors.Failed, Err: n.err}
}
