package sensors

import (
	"fmt"
	"time"

	"duskloop/sensors/quantity"
)

// PowerLimits are what the battery meter can truthfully read.
type PowerLimits struct {
	LowestVolts, HighestVolts quantity.Volt
	// MostAmps bounds the current in either direction.
	MostAmps quantity.Ampere
	// HighestPanel bounds the voltage of the element's panel.
	HighestPanel quantity.Volt
}

// PowerBelief is the last believed power and how the last attempt went. There
// is no jump rule: a battery's volts and amperes do jump when a pump starts,
// and smoothing them is the business of whoever counts the charge.
type PowerBelief struct {
	Volts quantity.Volt
	Amps  quantity.Ampere
	// NoAmps: the value came without a current.
	NoAmps bool
	// At is when the believed value was read, zero if there was none yet.
	At   time.Time
	Last Power
	// Panel is the last believed voltage of the element's panel, PanelAt when it was
	// read, zero if never.
	Panel   quantity.Volt
	PanelAt time.Time
}

// Known says whether any value was ever believed.
func (b PowerBelief) Known() bool { return !b.At.IsZero() }

// Age is how old the believed value is at now; only Known beliefs have one.
func (b PowerBelief) Age(now time.Time) time.Duration { return now.Sub(b.At) }

// panelZero is the lowest voltage that a dark panel reads through an offset.
const panelZero = quantity.Volt(-0.5)

// Consider judges one attempt and returns the new belief.
func (l PowerLimits) Consider(b PowerBelief, p Power) PowerBelief {
	if p.Cause == NotYet {
		return b
	}
	if p.PanelOK && p.Panel >= panelZero && p.Panel <= l.HighestPanel {
		b.Panel, b.PanelAt = p.Panel, p.At
	}
	if p.Cause == Good {
		p.Cause, p.Err = l.check(p)
	}
	if p.Cause == Good {
		b.Volts, b.Amps, b.NoAmps, b.At = p.Volts, p.Amps, p.NoAmps, p.At
	}
	b.Last = p
	return b
}

// check finds what is wrong with a value. NaN is asked for by name because it
// compares false with any limit.
func (l PowerLimits) check(p Power) (Cause, error) {
	switch {
	case !quantity.Finite(p.Volts) || !p.NoAmps && !quantity.Finite(p.Amps):
		return Failed, fmt.Errorf("battery meter: value is not a number")
	case p.Volts < l.LowestVolts || p.Volts > l.HighestVolts:
		return OutOfRange, fmt.Errorf("battery meter: %v is outside %v to %v", p.Volts, l.LowestVolts, l.HighestVolts)
	case p.NoAmps:
		return Good, nil
	case p.Amps > l.MostAmps || p.Amps < -l.MostAmps:
		return OutOfRange, fmt.Errorf("battery meter: %v is beyond %v", p.Amps, l.MostAmps)
	}
	return Good, nil
}
