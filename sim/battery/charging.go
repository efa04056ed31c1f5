package battery

import (
	"math"

	"duskloop/sensors/quantity"
)

// Stage is what a charger does with the battery.
type Stage int

// The stages of a usual three-stage charger.
const (
	Bulk   Stage = iota // all that is offered flows
	Absorb              // the voltage is held, the current falls
	Float               // full: held at a lower voltage
)

// String is the trade's word.
func (s Stage) String() string { return [...]string{"bulk", "absorb", "float"}[s] }

// Stage is that of the last step; without a charging current it is what a charger
// would begin with.
func (b *Battery) Stage() Stage {
	switch {
	case b.floating:
		return Float
	case b.held > 0:
		return Absorb
	}
	return Bulk
}

// When a charger changes its stage. Our choices, after common practice: it floats once
// the current at the absorb voltage has fallen below C/100 of a battery that is not
// far from full, and begins again when some of the charge has been used. If tail is
// too large, the last percents wait for the next day.
const (
	tail      = 1.0 / 100 // of the capacity, per hour
	floatFrom = quantity.Share(0.97)
	bulkBelow = quantity.Share(0.95)
)

// take charges with as much of the offered current as the battery accepts.
func (b *Battery) take(offered float64, at quantity.Celsius) float64 {
	b.floating = b.floating && b.Charge() >= bulkBelow
	amps := min(offered, b.acceptance(at, b.step, b.fading))
	stored := amps * float64(b.params.Efficiency)
	b.wells.flow(-stored, b.step)
	b.book.In += quantity.AmpereHour(amps * b.step.hours)
	b.book.Lost += quantity.AmpereHour((amps - stored) * b.step.hours)
	b.book.Refused += quantity.AmpereHour((offered - amps) * b.step.hours)
	b.hold(offered, amps, at)
	return amps
}

// hold lets the charger keep its set-point where the battery does not take all that
// is offered; where a full one stands above the float voltage it waits without a
// current. Then it may fall to float.
func (b *Battery) hold(offered, amps float64, at quantity.Celsius) {
	set := float64(b.setPoint(at))
	rest := float64(b.Rest()) + amps*float64(b.params.Resistance)
	end := rest + b.slow + (amps*float64(b.params.Slow)-b.slow)*b.fading
	above := amps == 0 && b.slow+rest > set
	if above || amps >= offered && end <= set {
		return
	}
	b.held = set
	refused := b.params.Chemistry == LiFePO4 && at < 0
	if amps < tail*float64(b.params.Capacity) && b.Charge() >= floatFrom && !refused {
		b.floating = true
	}
}

// Acceptance is the largest charging current the battery takes over the next minute:
// by its size (a quarter of the capacity an hour for lead-acid, half for LiFePO4;
// our choice), by what the wells still hold, and by the charger's set-point. LiFePO4 takes none below 0 °C: its protection must
// refuse, because charging then plates lithium for good (common to several cell
// datasheets).
func (b *Battery) Acceptance(at quantity.Celsius) quantity.Ampere {
	fading := -math.Expm1(-60 / b.params.SlowTime.Seconds())
	return quantity.Ampere(b.acceptance(at, b.minute, fading))
}

func (b *Battery) acceptance(at quantity.Celsius, p pace, fading float64) float64 {
	all := float64(b.params.Capacity)
	limit := all / 4
	if b.params.Chemistry == LiFePO4 {
		if at < 0 {
			return 0
		}
		limit *= 2
	}
	limit = min(limit, -b.wells.most(all, p)/float64(b.params.Efficiency))
	return max(0, min(limit, b.ceiling(at, fading)))
}

// ceiling is the current that brings the voltage to the set-point by the end of a
// step.
func (b *Battery) ceiling(at quantity.Celsius, fading float64) float64 {
	gap := float64(b.setPoint(at)-b.Rest()) - b.slow*(1-fading)
	return gap / (float64(b.params.Resistance) + float64(b.params.Slow)*fading)
}

// setPoint is what a charger holds now: moved, for lead-acid, by -5 mV/K in each of
// six cells from that at 25 °C (one flooded deep-cycle datasheet).
func (b *Battery) setPoint(at quantity.Celsius) quantity.Volt {
	v := b.params.Absorb
	if b.floating {
		v = b.params.Float
	}
	if b.params.Chemistry == LiFePO4 {
		return v
	}
	return v - quantity.Volt(0.030*(float64(at)-25))
}
