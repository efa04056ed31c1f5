package battery

import (
	"errors"
	"fmt"
	"time"

	"duskloop/sensors/quantity"
)

// Chemistry is the kind of battery.
type Chemistry int

// The kinds that are known.
const (
	Flooded Chemistry = iota
	AGM
	LiFePO4
)

// String is the trade's name.
func (c Chemistry) String() string {
	switch c {
	case Flooded:
		return "flooded lead-acid"
	case AGM:
		return "AGM lead-acid"
	case LiFePO4:
		return "LiFePO4"
	}
	return "unknown battery"
}

// Params describes one 12 V battery.
type Params struct {
	Chemistry Chemistry
	Capacity  quantity.AmpereHour // at the 20 h rate and 25 °C
	// Resistance is what the voltage answers with at once.
	Resistance quantity.Ohm
	// Slow is the further resistance that shows, and fades, over SlowTime: the
	// surface charge of a lead-acid battery.
	Slow     quantity.Ohm
	SlowTime time.Duration
	// Efficiency is the share of charging ampere-hours that is stored.
	Efficiency quantity.Share
	// SelfDischarge is the share of the capacity lost in 30 days at 25 °C.
	SelfDischarge quantity.Share
	// Absorb is the voltage a charger holds at 25 °C; Float the one it falls to
	// when the battery is full.
	Absorb, Float quantity.Volt
	// Taper is the time constant with which a nearly full battery's charge
	// current falls at the absorb voltage.
	Taper time.Duration
}

// Typical is a battery of a kind and size with usual figures.
//
// Efficiency: lead-acid 85 % (a weak web source), LiFePO4 99 % (from
// memory). Self-discharge a month: flooded 5-15 % (one datasheet), AGM 1-3 %,
// LiFePO4 2-3 % (both from memory). Resistance: AGM 12 V 20 Ah 10-15 mΩ (from
// memory), scaled with size; flooded taken one and a half times that. The slow
// part, the taper and the set-points are our estimates of common practice, no
// source: surface charge of some tenths of a volt that fades in an hour or two.
func Typical(c Chemistry, capacity quantity.AmpereHour) Params {
	size := quantity.Ohm(20 / float64(capacity))
	p := Params{Chemistry: c, Capacity: capacity}
	switch c {
	case LiFePO4:
		p.Resistance, p.Slow, p.SlowTime = 0.020*size, 0.010*size, 10*time.Minute
		p.Efficiency, p.SelfDischarge = 0.99, 0.025
		p.Absorb, p.Float, p.Taper = 14.2, 13.5, 10*time.Minute
	case AGM:
		p.Resistance, p.Slow, p.SlowTime = 0.0125*size, 0.150*size, 90*time.Minute
		p.Efficiency, p.SelfDischarge = 0.85, 0.02
		p.Absorb, p.Float, p.Taper = 14.4, 13.6, 60*time.Minute
	default:
		p.Resistance, p.Slow, p.SlowTime = 0.019*size, 0.200*size, 90*time.Minute
		p.Efficiency, p.SelfDischarge = 0.85, 0.10
		p.Absorb, p.Float, p.Taper = 14.6, 13.5, 90*time.Minute
	}
	return p
}

// Validate reports every figure that cannot be a battery's.
func (p Params) Validate() error {
	var faults []error
	check := func(ok bool, format string, args ...any) {
		if !ok {
			faults = append(faults, fmt.Errorf(format, args...))
		}
	}
	check(p.Chemistry >= Flooded && p.Chemistry <= LiFePO4, "battery chemistry %d: unknown", p.Chemistry)
	check(p.Capacity >= 0.5 && p.Capacity <= 5000, "battery capacity %v: must be 0.5 to 5000 Ah", p.Capacity)
	check(p.Resistance > 0 && p.Resistance < 5, "battery resistance %v: must be above 0, below 5 ohm", p.Resistance)
	check(p.Slow >= 0 && p.Slow < 20, "battery slow resistance %v: must be 0 to 20 ohm", p.Slow)
	check(p.SlowTime > 0, "battery slow time %v: must be above 0", p.SlowTime)
	check(p.Efficiency > 0.3 && p.Efficiency <= 1, "battery charge efficiency %v: must be 30 to 100 %%", p.Efficiency)
	check(p.SelfDischarge >= 0 && p.SelfDischarge < 1, "battery self-discharge %v: must be 0 to 100 %%", p.SelfDischarge)
	check(p.Absorb >= p.Float && p.Float > 12 && p.Absorb < 16,
		"battery set-points absorb %v, float %v: must be 12 < float <= absorb < 16 V", p.Absorb, p.Float)
	check(p.Taper > 0, "battery taper %v: must be above 0", p.Taper)
	return errors.Join(faults...)
}
