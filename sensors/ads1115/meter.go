package ads1115

import (
	"context"
	"errors"
	"fmt"
	"syscall"
	"time"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/physic"
	"periph.io/x/devices/v3/ads1x15"

	"duskloop/sensors"
	"duskloop/sensors/quantity"
)

// Settings say how an input is wired.
type Settings struct {
	// Address on the bus: 0x48 to 0x4b; zero means 0x48.
	Address uint16
	// Input of the converter, 0 to 3.
	Input int
	// Ratio is what is measured over what the input sees: 11 for 100 kohm above 10 kohm.
	Ratio float64
}

// fullScale is the range in use at the input. It must stay below the converter's own
// supply, 3.3 V or 5 V.
const fullScale quantity.Volt = 2.048

// Most is the highest voltage that can be told.
func (s Settings) Most() quantity.Volt { return fullScale * quantity.Volt(s.Ratio) }

// Validate reports what is wrong with the settings.
func (s Settings) Validate() error {
	var faults []error
	if s.Address != 0 && (s.Address < 0x48 || s.Address > 0x4b) {
		faults = append(faults, fmt.Errorf("converter: address %#x is not within 0x48 to 0x4b", s.Address))
	}
	if s.Input < 0 || s.Input > 3 {
		faults = append(faults, fmt.Errorf("converter: input %d is not within 0 to 3", s.Input))
	}
	if !quantity.Finite(s.Ratio) || s.Ratio < 1 || s.Ratio > 200 {
		faults = append(faults, fmt.Errorf("converter: a divider's ratio of %g is not within 1 to 200", s.Ratio))
	}
	return errors.Join(faults...)
}

// Meter is one input of the converter. It is for one goroutine; two Meters on one
// converter need one goroutine between them.
type Meter struct {
	settings Settings
	pin      ads1x15.PinADC
	bus      *patient
}

// A Meter can be polled.
var _ sensors.Meter = (*Meter)(nil)

// New is a meter on bus. It touches no hardware yet.
func New(bus i2c.Bus, s Settings) (*Meter, error) {
	if s.Address == 0 {
		s.Address = ads1x15.I2CAddr
	}
	if err := s.Validate(); err != nil {
		return nil, err
	}
	held := &patient{Bus: bus}
	chip, err := ads1x15.NewADS1115(held, &ads1x15.Opts{I2cAddress: s.Address})
	if err != nil {
		return nil, err
	}
	channel := ads1x15.Channel0 + ads1x15.Channel(s.Input)
	pin, err := chip.PinForChannel(channel, physic.ElectricPotential(float64(fullScale)*float64(physic.Volt)), rate, ads1x15.BestQuality)
	return &Meter{settings: s, pin: pin, bus: held}, err
}

// rate of conversion: 31 ms each, slow enough to average some of the noise.
const rate = 32 * physic.Hertz

// Read measures once. The current is unknown.
func (m *Meter) Read(context.Context) sensors.Power {
	began := time.Now()
	p := m.measure()
	p.At, p.NoAmps = time.Now(), true
	p.Took = p.At.Sub(began)
	if p.Err != nil {
		p.Err = fmt.Errorf("reading input %d of the converter at %#x: %w", m.settings.Input, m.settings.Address, p.Err)
	}
	return p
}

func (m *Meter) measure() sensors.Power {
	sample, err := m.pin.Read()
	switch {
	case errors.Is(err, syscall.ENXIO) || errors.Is(err, syscall.EREMOTEIO):
		return sensors.Power{Cause: sensors.NothingThere, Err: fmt.Errorf("%w: %w", sensors.ErrNothingThere, err)}
	case err != nil:
		return sensors.Power{Cause: sensors.Failed, Err: err}
	}
	volts := quantity.Volt(float64(sample.V) / float64(physic.Volt) * m.settings.Ratio)
	if sample.Raw >= 32767 || sample.Raw <= -32768 {
		return sensors.Power{Volts: volts, Cause: sensors.OutOfRange, Err: fmt.Errorf("%v or more: end of the range", m.settings.Most())}
	}
	return sensors.Power{Volts: volts, Cause: sensors.Good}
}
