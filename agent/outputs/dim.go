package outputs

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"periph.io/x/conn/v3/gpio"
	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/physic"
	"periph.io/x/devices/v3/pca9685"
)

// Dimmer sets how much of the time an output is on.
type Dimmer interface {
	// Dim sets a duty of 0 (off) to 1 (on all the time).
	Dim(duty float64) error
}

// KernelPWM is one channel of a chip in the kernel's tree
// (Documentation/ABI/testing/sysfs-class-pwm). The zero value is no channel.
type KernelPWM struct {
	Root    string // /sys/class/pwm
	Chip    int
	Channel int
	Hertz   int
	Low     bool // active at low level
}

// Dim implements Dimmer. A channel that is not there yet is asked for first.
func (k KernelPWM) Dim(duty float64) error {
	chip := filepath.Join(k.Root, "pwmchip"+strconv.Itoa(k.Chip))
	channel := filepath.Join(chip, "pwm"+strconv.Itoa(k.Channel))
	if _, err := os.Stat(channel); errors.Is(err, os.ErrNotExist) {
		if err := write(chip, "export", k.Channel); err != nil {
			return fmt.Errorf("asking for the channel: %w", err)
		}
	}
	if k.Low {
		duty = 1 - duty
	}
	period := 1_000_000_000 / k.Hertz
	was, err := read(channel, "period")
	if err != nil {
		return err
	}
	if was != period { // the kernel refuses a period below the duty in force
		if err := errors.Join(write(channel, "duty_cycle", 0), write(channel, "period", period)); err != nil {
			return err
		}
	}
	// The channel stays enabled at rest too: a disabled one has a level of its own, which
	// may be high.
	return errors.Join(write(channel, "duty_cycle", int(duty*float64(period))), write(channel, "enable", 1))
}

func write(dir, name string, value int) error {
	return os.WriteFile(filepath.Join(dir, name), []byte(strconv.Itoa(value)), 0o200)
}

func read(dir, name string) (int, error) {
	b, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		return 0, err
	}
	return strconv.Atoi(strings.TrimSpace(string(b)))
}

// Generator is a PCA9685 on an I²C bus. It is set up at the first use and again after
// a fault. All its outputs share one frequency.
type Generator struct {
	Bus     i2c.Bus
	Address uint16
	Hertz   int
	chip    *pca9685.Dev
}

// Output is one output of the generator, 0 to 15.
func (g *Generator) Output(n int, low bool) Dimmer { return &generated{g, n, low} }

type generated struct {
	*Generator
	number int
	low    bool
}

// Dim implements Dimmer.
func (o *generated) Dim(duty float64) error {
	if o.low {
		duty = 1 - duty
	}
	if err := o.found(); err != nil {
		return err
	}
	err := o.set(duty)
	if err != nil {
		o.chip = nil
	}
	return err
}

// set gives the ends of the range without any pulse.
func (o *generated) set(duty float64) error {
	switch steps := int(duty * 4096); {
	case steps <= 0:
		return o.chip.SetFullOff(o.number)
	case steps >= 4096:
		return o.chip.SetFullOn(o.number)
	default:
		return o.chip.SetPwm(o.number, 0, gpio.Duty(steps))
	}
}

// found sets the generator up, which turns all its outputs off for a fifth of a second.
func (g *Generator) found() error {
	if g.chip != nil {
		return nil
	}
	chip, err := pca9685.NewI2C(g.Bus, g.Address)
	if err == nil {
		err = chip.SetPwmFreq(physic.Frequency(g.Hertz) * physic.Hertz)
	}
	if err != nil {
		return fmt.Errorf("pulse generator at %#x: %w", g.Address, err)
	}
	g.chip = chip
	return nil
}
