package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// What a voltage is worth that was not taken at rest; see charge_rest.go for one that
// was. Ours; if they are too small the band is false until the next rest.
const (
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

// How fast the count goes wrong. Chosen: the meter's gain, and on top of it what is not
// known of the age; lead-acid stores 80 to 98 % of what is put in.
const (
	meterGain     = 0.02
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
	switch {
	case charging:
		return reading{}
	case v.in.Meter.HasAmps && c.Uncharged >= unchargedAfter:
		return c.bounds(v) // at rest, or pulled down by a load
	case !steep:
		return reading{flatMiddle, flatBand, true}
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
	amps := float64(m.amps() - c.Zero.Offset)
	part := amps * hours / (float64(b.Capacity) * float64(c.Age.Holds))
	drift := driftPerDay * quantity.Share(hours/24)
	gain := meterGain + float64(ageBand/c.Age.Holds)
	switch {
	case !v.in.Meter.HasAmps && charging:
		part, gain = float64(unseenCharge)*hours, 1
	case !v.in.Meter.HasAmps:
		gain, drift = assumedGain, hiddenPerHour*quantity.Share(hours)
	case part > 0:
		part, gain = part*b.Chemistry.chargeEfficiency(), max(gain, chargeGain)
	}
	if v.in.Meter.HasAmps {
		c.Age = c.Age.count(amps, m.Span)
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
