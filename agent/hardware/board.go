// Package hardware opens the lines and buses of the board: GPIO lines through
// the kernel's character device, chips found by label, and I²C buses by name.
//
// Only the character-device driver is used for lines; the older sysfs lines
// that the same library offers are not, because exporting them has made kernels
// fail.
package hardware

import (
	"fmt"
	"strings"

	"periph.io/x/conn/v3/driver/driverreg"
	"periph.io/x/conn/v3/gpio"
	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/i2c/i2creg"
	"periph.io/x/host/v3/gpioioctl"
	_ "periph.io/x/host/v3/sysfs" // registers the kernel's I²C buses
)

// Board is the computer's own hardware. Open it once.
type Board struct {
	chips []*gpioioctl.GPIOChip
	lines []*gpioioctl.GPIOLine
}

// Open finds chips and buses. A computer without any is no error yet; asking
// for one that is not there is.
func Open() (*Board, error) {
	if _, err := driverreg.Init(); err != nil {
		return nil, fmt.Errorf("opening hardware: %w", err)
	}
	return &Board{chips: gpioioctl.Chips}, nil
}

// line finds a line by the label of its chip and its number.
func (b *Board) line(chip string, number int) (*gpioioctl.GPIOLine, error) {
	var labels []string
	for _, c := range b.chips {
		if c.Label() != chip {
			labels = append(labels, c.Label())
			continue
		}
		l := c.ByNumber(number)
		if l == nil {
			return nil, fmt.Errorf("GPIO chip %s has no line %d (it has %d lines)", chip, number, c.LineCount())
		}
		b.lines = append(b.lines, l)
		return l, nil
	}
	if len(labels) == 0 {
		return nil, fmt.Errorf("no GPIO chip is called %s: this computer shows none", chip)
	}
	return nil, fmt.Errorf("no GPIO chip is called %s; there are %s", chip, strings.Join(labels, ", "))
}

// Output is a line to be driven.
func (b *Board) Output(chip string, number int) (gpio.PinOut, error) {
	l, err := b.line(chip, number)
	if err != nil {
		return nil, err
	}
	return output{l}, nil
}

// output gives up a line that failed, so that the next try asks for it anew:
// the library otherwise takes a line it never got for one that it has.
type output struct{ *gpioioctl.GPIOLine }

func (o output) Out(l gpio.Level) error {
	err := o.GPIOLine.Out(l)
	if err != nil {
		o.GPIOLine.Close()
	}
	return err
}

// Input is a line to be read, with a pull-down. A read that fails reads low.
func (b *Board) Input(chip string, number int) (gpio.PinIn, error) {
	l, err := b.line(chip, number)
	if err != nil {
		return nil, err
	}
	if err := l.In(gpio.PullDown, gpio.NoEdge); err != nil {
		return nil, fmt.Errorf("reading line %d of %s: %w", number, chip, err)
	}
	return l, nil
}

// Bus opens an I²C bus by name or number.
func (b *Board) Bus(name string) (i2c.BusCloser, error) {
	bus, err := i2creg.Open(name)
	if err != nil {
		return nil, fmt.Errorf("opening I²C bus %s: %w", name, err)
	}
	return bus, nil
}

// Close gives the lines back to the kernel. Most boards then leave them at
// their last level, so bring them to rest before.
func (b *Board) Close() error {
	for _, l := range b.lines {
		l.Close()
	}
	return nil
}
