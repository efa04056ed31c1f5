//go:build rig

package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"periph.io/x/conn/v3/gpio"
	"periph.io/x/conn/v3/gpio/gpiotest"
	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/physic"

	"duskloop/agent"
	"duskloop/sensors/devicemodel"
	"duskloop/sensors/quantity"
)

// rig stands in for a board on a test bench: built with the tag "rig" and never
// shipped. Everything above the lines and the bus is the daemon itself, drivers
// included. In the folder named by DUSKLOOP_RIG it reads "battery" (volts, and
// amperes at rest), "draws" (a line and the amperes it draws when high, one a
// row) and "level" (high or low), and appends each line that changes to "lines"
// as CHIP/NUMBER=LEVEL.
type rig struct {
	dir string

	mu   sync.Mutex // guards high
	high map[string]bool
}

// shunt of the meter on the rig.
const shunt quantity.Ohm = 0.01

func openBoard() (agent.Hardware, error) {
	dir := os.Getenv("DUSKLOOP_RIG")
	if dir == "" {
		return nil, errors.New("this is the test rig's build: set DUSKLOOP_RIG to its folder")
	}
	return &rig{dir: dir, high: make(map[string]bool)}, nil
}

// Output is a line that writes down its changes.
func (r *rig) Output(chip string, number int) (gpio.PinOut, error) {
	if chip != "rig" {
		return nil, fmt.Errorf("no GPIO chip is called %s; there is rig", chip)
	}
	return &rigLine{Pin: gpiotest.Pin{N: fmt.Sprintf("%s/%d", chip, number)}, rig: r}, nil
}

// Input is a line that reads its level from the folder.
func (r *rig) Input(string, int) (gpio.PinIn, error) { return &levelLine{dir: r.dir}, nil }

// Bus is an I²C bus with the meter on it.
func (r *rig) Bus(string) (i2c.BusCloser, error) {
	bus := devicemodel.NewI2C()
	meter := devicemodel.NewINA219(shunt)
	bus.Attach(0x40, meter)
	return &rigBus{I2C: bus, meter: meter, rig: r}, nil
}

// Close does nothing: like a board, the rig leaves its lines as they are.
func (r *rig) Close() error { return nil }

type rigLine struct {
	gpiotest.Pin
	rig *rig
	set bool
}

func (l *rigLine) Out(level gpio.Level) error {
	l.rig.mu.Lock()
	defer l.rig.mu.Unlock()
	if l.set && l.Pin.L == level {
		return nil
	}
	l.set, l.Pin.L = true, level
	l.rig.high[l.N] = bool(level)
	f, err := os.OpenFile(filepath.Join(l.rig.dir, "lines"), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(f, "%s=%s\n", l.N, level)
	return errors.Join(err, f.Close())
}

// drawn is the current of the lines that are high.
func (r *rig) drawn() float64 {
	text, _ := os.ReadFile(filepath.Join(r.dir, "draws")) // no file: nothing draws
	r.mu.Lock()
	defer r.mu.Unlock()
	sum := 0.0
	for row := range strings.Lines(string(text)) {
		var (
			name string
			amps float64
		)
		if n, _ := fmt.Sscan(row, &name, &amps); n == 2 && r.high[name] {
			sum += amps
		}
	}
	return sum
}

type levelLine struct {
	gpiotest.Pin
	dir string
}

func (l *levelLine) Read() gpio.Level {
	b, err := os.ReadFile(filepath.Join(l.dir, "level"))
	return gpio.Level(err == nil && strings.TrimSpace(string(b)) == "high")
}

// rigBus sets the meter from the folder before each transfer.
type rigBus struct {
	*devicemodel.I2C
	meter *devicemodel.INA219
	rig   *rig
}

func (b *rigBus) Tx(addr uint16, w, r []byte) error {
	text, err := os.ReadFile(filepath.Join(b.rig.dir, "battery"))
	if err != nil {
		return fmt.Errorf("no acknowledge from the meter: %w", err)
	}
	var volts, amps float64
	if _, err := fmt.Sscan(string(text), &volts, &amps); err != nil {
		return fmt.Errorf("no acknowledge from the meter: %w", err)
	}
	b.meter.Set(quantity.Volt(volts), quantity.Ampere(amps-b.rig.drawn()))
	return b.I2C.Tx(addr, w, r)
}

func (b *rigBus) SetSpeed(physic.Frequency) error { return nil }
func (b *rigBus) Close() error                    { return nil }
func (b *rigBus) String() string                  { return "rig" }
