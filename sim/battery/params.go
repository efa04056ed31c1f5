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

// PerHour is a rate constant.
type PerHour float64

// Params describes one 12 V battery.
type Params struct {
	Chemistry Chemistry
	// Capacity is all the charge of a full battery, at 25 °C. The figure printed on it
	// is less, because the 20 h rate does not draw the bound charge to the last; see
	// Typical and Drawn.
	Capacity quantity.AmpereHour
	// Ready is the share of a full battery's charge that is ready to be drawn, c of the
	// kinetic model; the rest is bound and follows at the rate Exchange, k of it.
	Ready    quantity.Share
	Exchange PerHour
	// Resistance is what the voltage answers with at once.
	Resistance quantity.Ohm
	// Slow is the further resistance that shows, and fades, over SlowTime: the
	// surface charge of a lead-acid battery.
	Slow     quantity.Ohm
	SlowTime time.Duration
	// Efficiency is the share of charging ampere-hours that is stored.
	Efficiency quantity.Share
	// SelfDischarge is the share of the charge lost in 30 days at 25 °C.
	SelfDischarge quantity.Share
	// Absorb is the voltage a charger holds at 25 °C; Float the one it falls to
	// when the battery is full.
	Absorb, Float quantity.Volt
}

// Drawn is the charge that a full battery gives at a temperature when a constant
// current empties it in a time: less the shorter the time, and the colder it is.
// The time must be above zero.
func (p Params) Drawn(in time.Duration, at quantity.Celsius) quantity.AmpereHour {
	w := wells{c: float64(p.Ready), k: float64(p.Exchange)}
	return p.Capacity * quantity.AmpereHour(float64(p.Chemistry.CapacityAt(at))*w.capacity(in.Hours()))
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
	check(p.Capacity >= 0.5 && p.Capacity <= 6000, "battery capacity %v: must be 0.5 to 6000 Ah", p.Capacity)
	check(p.Ready > 0.01 && p.Ready < 1, "battery share ready %v: must be above 1, below 100 %%", p.Ready)
	check(p.Exchange > 0.01 && p.Exchange < 100, "battery exchange %v: must be above 0.01, below 100 per hour", p.Exchange)
	check(p.Resistance > 0 && p.Resistance < 5, "battery resistance %v: must be above 0, below 5 ohm", p.Resistance)
	check(p.Slow >= 0 && p.Slow < 20, "battery slow resistance %v: must be 0 to 20 ohm", p.Slow)
	check(p.SlowTime > 0, "battery slow time %v: must be above 0", p.SlowTime)
	check(p.Efficiency > 0.3 && p.Efficiency <= 1, "battery charge efficiency %v: must be 30 to 100 %%", p.Efficiency)
	check(p.SelfDischarge >= 0 && p.SelfDischarge < 1, "battery self-discharge %v: must be 0 to 100 %%", p.SelfDischarge)
	check(p.Absorb >= p.Float && p.Float > 12 && p.Absorb < 16,
		"battery set-points absorb %v, float %v: must be 12 < float <= absorb < 16 V", p.Absorb, p.Float)
	return errors.Join(faults...)
}
