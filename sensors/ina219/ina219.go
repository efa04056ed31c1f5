// Package ina219 measures a battery's voltage and current with an INA219 on an
// I²C bus that it is handed; it never opens one.
//
// The chip watches the voltage over a shunt resistor and the battery's own. The
// current is worked out here from the shunt's voltage (10 µV steps, so 0.1 mA
// with the usual 0.1 Ω) and not taken from the chip's current register: that
// one depends on a calibration which a dip of the supply erases, and then reads
// a steady zero, which looks like a resting battery.
//
// The driver beneath (periph's) uses the chip's 16 V range, fit for a 12 V
// battery but not for 24 V, and averages 128 samples (about 70 ms each for
// voltage and current). A value at the end of a range is reported as
// OutOfRange, because the truth may lie beyond it.
//
// Steps and ranges: TI, INA219 data sheet, SBOS448. The sign convention is that
// of sensors.Power: charging is positive.
package ina219

import (
	"context"
	"errors"
	"fmt"
	"syscall"
	"time"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/physic"
	"periph.io/x/devices/v3/ina219"

	"duskloop/sensors"
	"duskloop/sensors/quantity"
)

// The ends of the measuring ranges that the driver beneath sets up.
const (
	fullShunt quantity.Volt = 0.320
	fullBus   quantity.Volt = 16
)

// Settings say how the meter is wired.
type Settings struct {
	// Address on the bus, 0x40 to 0x4f; zero means 0x40.
	Address int
	// Shunt is the resistor's value. A wrong value gives a wrong current, and
	// nothing can notice.
	Shunt quantity.Ohm
	// Reversed: the shunt is wired so that a charging current reads negative.
	Reversed bool
}

// Validate reports what is wrong with the settings.
func (s Settings) Validate() error {
	var faults []error
	if s.Address != 0 && (s.Address < 0x40 || s.Address > 0x4f) {
		faults = append(faults, fmt.Errorf("battery meter: address %#x is not within 0x40 to 0x4f", s.Address))
	}
	if !quantity.Finite(s.Shunt) || s.Shunt < 1e-4 || s.Shunt > 10 {
		faults = append(faults, fmt.Errorf("battery meter: shunt of %v is not within 0.1 mohm to 10 ohm", s.Shunt))
	}
	return errors.Join(faults...)
}

// Most is the largest current that the shunt lets the meter see.
func (s Settings) Most() quantity.Ampere {
	return quantity.Ampere(float64(fullShunt) / float64(s.Shunt))
}

// Meter is one INA219. It is set up at the first read and again after every
// failed one, so a meter that is plugged in later works from then on. It is for
// one goroutine.
type Meter struct {
	settings Settings
	bus      *listener
	chip     *ina219.Dev
}

// A Meter can be polled.
var _ sensors.Meter = (*Meter)(nil)

// New is a meter on bus. It touches no hardware yet.
func New(bus i2c.Bus, s Settings) (*Meter, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	return &Meter{settings: s, bus: &listener{Bus: bus}}, nil
}

// Read measures once.
func (m *Meter) Read(context.Context) sensors.Power {
	began := time.Now()
	p := m.measure()
	p.At = time.Now()
	p.Took = p.At.Sub(began)
	if p.Err != nil {
		p.Err = fmt.Errorf("reading battery meter at %#x: %w", m.address(), p.Err)
	}
	return p
}

// measure reads volts and amperes, or says why not.
func (m *Meter) measure() sensors.Power {
	m.bus.err = nil
	if m.chip == nil {
		chip, err := ina219.New(m.bus, m.options())
		if err != nil {
			return m.failure(err)
		}
		m.chip = chip
	}
	sample, err := m.chip.Sense()
	if err != nil {
		m.chip = nil
		return m.failure(err)
	}
	return m.power(sample)
}

// options asks for a full scale that the shunt cannot exceed, so that the
// chip's own arithmetic never overflows.
func (m *Meter) options() *ina219.Opts {
	return &ina219.Opts{
		Address:       m.address(),
		SenseResistor: physic.ElectricResistance(float64(m.settings.Shunt) * float64(physic.Ohm)),
		MaxCurrent:    physic.ElectricCurrent(float64(m.settings.Most()) * float64(physic.Ampere)),
	}
}

func (m *Meter) address() int {
	if m.settings.Address == 0 {
		return ina219.DefaultOpts.Address
	}
	return m.settings.Address
}

// power turns a sample into volts and amperes and checks the ends of the
// ranges.
func (m *Meter) power(s ina219.PowerMonitor) sensors.Power {
	volts := quantity.Volt(float64(s.Voltage) / float64(physic.Volt))
	shunt := quantity.Volt(float64(s.Shunt) / float64(physic.Volt))
	p := sensors.Power{Volts: volts, Amps: quantity.Ampere(float64(shunt) / float64(m.settings.Shunt)), Cause: sensors.Good}
	if m.settings.Reversed {
		p.Amps = -p.Amps
	}
	switch {
	case volts >= fullBus:
		p.Cause, p.Err = sensors.OutOfRange, fmt.Errorf("%v or more: end of the range", fullBus)
	case shunt >= fullShunt || shunt <= -fullShunt:
		p.Cause, p.Err = sensors.OutOfRange, fmt.Errorf("%v or more either way: end of the range", m.settings.Most())
	}
	return p
}

// failure tells an address where nobody answers from other faults, and gives
// back the cause that the driver beneath leaves out.
func (m *Meter) failure(err error) sensors.Power {
	err = errors.Join(err, m.bus.err)
	if errors.Is(err, syscall.ENXIO) || errors.Is(err, syscall.EREMOTEIO) {
		return sensors.Power{Cause: sensors.NothingThere, Err: fmt.Errorf("%w: %w", sensors.ErrNothingThere, err)}
	}
	return sensors.Power{Cause: sensors.Failed, Err: err}
}

// listener remembers the last error of a bus, because the driver beneath
// replaces it by a fixed text.
type listener struct {
	i2c.Bus
	err error
}

// Tx implements i2c.Bus.
func (l *listener) Tx(address uint16, w, r []byte) error {
	err := l.Bus.Tx(address, w, r)
	if err != nil {
		l.err = err
	}
	return err
}
