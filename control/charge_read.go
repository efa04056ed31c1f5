package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// What a voltage is worth, by how it was taken. All are ours, derived so:
// a meter of ±0.5 % at 12 V is ±60 mV, or ±5 to ±9 % of charge on lead-acid
// (facts 5.1: 10 % is about 80 mV); 25 K of temperature add ±3 % (facts 5.1,
// +1 to +1.5 mV/K). If the meter is worse than that, so is the band.
const (
	restedBand = quantity.Share(0.12)
	// Under load or soon after charging it is taken less unrestedBias, because
	// surface charge reads high by more than polarisation reads low.
	unrestedBias = quantity.Share(0.10)
	unrestedBand = quantity.Share(0.25)
	// Without a current a weak charge looks like a fuller battery at rest.
	unseenBias = quantity.Share(0.15)
	unseenBand = quantity.Share(0.35)
	// The flat part of the LFP curve, 30 to 90 % within 0.27 V (facts 5.3),
	// says only that the battery is somewhere on it.
	flatMiddle = quantity.Share(0.60)
	flatBand   = quantity.Share(0.35)
	plateau    = quantity.Share(0.30) // where it begins
)

// How fast the count goes wrong. Chosen, with the meter's 2 % on top of what
// the battery itself does: an aged or cold one holds 10 to 20 % less than rated
// (facts 5.6), and lead-acid stores 80 to 98 % of what is put in.
const (
	dischargeGain = 0.10
	chargeGain    = 0.15
	assumedGain   = 0.30                 // where the draw is assumed, not measured
	driftPerDay   = quantity.Share(0.02) // 1 mA is 0.1 % of 24 Ah a day; self-discharge and hidden loads more
	hiddenPerHour = quantity.Share(0.04) // without a current: what else draws, C/25
	// Without a current, a voltage that shows charging lets the truth rise by
	// up to a fifth of the capacity an hour: half of it each for share and band.
	unseenCharge = quantity.Share(0.10)
)

// reading is what the voltage says by itself.
type reading struct {
	share, band quantity.Share
	ok          bool
}

// read judges the voltage. While it charges a voltage is only an upper bound,
// which is no reading.
func (c Charge) read(v *view, charging bool) reading {
	share, steep := restCurve(v.s.Battery.Chemistry).read(v.st.Samples.volts())
	lfp := v.s.Battery.Chemistry == LFP
	rested := v.in.Meter.HasAmps && c.Quiet >= quietAfter && c.Uncharged >= unchargedAfter
	switch {
	case charging:
		return reading{}
	case !steep:
		return reading{flatMiddle, flatBand, true}
	case rested:
		return reading{share, restedBand, true}
	case lfp && share > plateau: // a charged cell takes hours to come down to its plateau
		return reading{flatMiddle, flatBand + 0.05, true}
	}
	if !v.in.Meter.HasAmps {
		return reading{max(0, share-unseenBias), unseenBand, true}
	}
	return reading{max(0, share-unrestedBias), unrestedBand, true}
}

// seed begins from nothing. While it charges the truth lies anywhere below
// what the voltage says.
func (c Charge) seed(r reading, v *view) Charge {
	if !r.ok {
		highest, _ := restCurve(v.s.Battery.Chemistry).read(v.st.Samples.volts())
		r.share = highest / 2
		r.band = min(widest, highest/2+0.05)
	}
	c.Share, c.Band, c.OK = r.share, r.band, true
	return c
}

// count takes the current over the sample's span, measured or assumed.
func (c Charge) count(v *view, charging bool) Charge {
	b, m := &v.s.Battery, &v.st.Samples
	hours := m.Span.Hours()
	part := float64(m.amps()) * hours / float64(b.Capacity)
	drift := driftPerDay * quantity.Share(hours/24)
	gain := dischargeGain
	switch {
	case !v.in.Meter.HasAmps && charging:
		part, gain = float64(unseenCharge)*hours, 1
	case !v.in.Meter.HasAmps:
		gain, drift = assumedGain, hiddenPerHour*quantity.Share(hours)
	case part > 0:
		part, gain = part*b.Chemistry.chargeEfficiency(), chargeGain
	}
	c.Share = min(1, max(0, c.Share+quantity.Share(part)))
	c.Band = min(widest, c.Band+drift+quantity.Share(gain*max(part, -part)))
	return c
}

// pull draws a count that has become vaguer than the voltage towards it. Both
// are bounds on the same truth, so their weighted mean is one too.
func (c Charge) pull(r reading, span time.Duration) Charge {
	if !r.ok || c.Band <= r.band {
		return c
	}
	weight := quantity.Share(float64(span) / float64(span+anchorTime))
	c.Share += weight * (r.share - c.Share)
	c.Band += weight * (r.band - c.Band)
	return c
}
