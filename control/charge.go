package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// Charge is the estimated state of charge with an honest band: the truth is
// meant to lie within Share ± Band.
//
// Where a current is measured it is integrated, and the estimate is drawn
// towards the rest-voltage curve while the battery rests, but only where that
// curve is steep enough to tell. Without a current the rest voltage alone is
// used, smoothed, with the wide band that it deserves.
type Charge struct {
	Share   quantity.Share
	Band    quantity.Share
	OK      bool
	Resting time.Duration // how long the current has been small
	Full    time.Duration // how long voltage is high and the current small
	Smooth  quantity.Volt // rest voltage, low-passed
	Seen    bool
}

// Numbers we chose, with what happens if they are wrong.
const (
	smoothing   = 5 * time.Minute  // shorter: one noisy sample shows; longer: slow without a current
	restAfter   = time.Hour        // "after discharge about an hour" (facts 5.1); shorter reads surface charge
	anchorTime  = time.Hour        // time constant of the pull towards the curve
	fullAfter   = 10 * time.Minute // longer than a cloud's edge
	restRate    = 1.0 / 50         // of capacity per hour; a light load still reads true within a few percent
	voltageBand = quantity.Share(0.20)
	curveBand   = quantity.Share(0.08) // ±1 % of a meter at 12 V is about ±15 % (facts 5.1); rested and smoothed half of it
	driftPerDay = quantity.Share(0.02) // 1 mA offset and self-discharge on 20 Ah, roughly doubled
	gainError   = 0.03                 // of the charge counted
)

// pass moves the estimate on by d.
func (c Charge) pass(d time.Duration, v *view) Charge {
	if !v.rest.ok {
		return c.blind(d)
	}
	c = c.smooth(d, v.rest.v)
	curve := restCurve(v.s.Battery.Chemistry)
	if !c.OK {
		share, steep := curve.read(c.Smooth)
		band := voltageBand
		if !steep {
			band = 0.35
		}
		c.Share, c.Band, c.OK = share, band, true
		return c
	}
	if !v.in.Meter.HasAmps {
		return c.fromVoltage(curve)
	}
	return c.count(d, v).anchor(d, v, curve)
}

// blind widens the band while nothing is measured, and gives up in the end.
func (c Charge) blind(d time.Duration) Charge {
	c.Resting, c.Full = 0, 0
	c.Band = min(1, c.Band+quantity.Share(d.Hours()*0.05))
	if c.Band > 0.5 {
		c.OK, c.Seen = false, false
	}
	return c
}

// smooth low-passes the rest voltage, so that no single sample decides.
func (c Charge) smooth(d time.Duration, rest quantity.Volt) Charge {
	if !c.Seen {
		c.Smooth, c.Seen = rest, true
		return c
	}
	weight := float64(d) / float64(d+smoothing)
	c.Smooth += quantity.Volt(weight) * (rest - c.Smooth)
	return c
}

func (c Charge) fromVoltage(curve curve) Charge {
	share, steep := curve.read(c.Smooth)
	c.Share, c.Band = share, voltageBand
	if !steep {
		c.Band = 0.35
	}
	return c
}

// count integrates the current.
func (c Charge) count(d time.Duration, v *view) Charge {
	b := v.s.Battery
	part := float64(v.in.Meter.Amps) * d.Hours() / float64(b.Capacity)
	if part > 0 {
		part *= b.Chemistry.chargeEfficiency()
	}
	c.Share = min(1, max(0, c.Share+quantity.Share(part)))
	grown := driftPerDay*quantity.Share(d.Hours()/24) + quantity.Share(gainError*max(part, -part))
	c.Band = min(0.5, c.Band+grown)
	return c
}

// anchor corrects the count: to full when the charger says so by voltage and
// tail current, towards the curve when the battery has rested.
func (c Charge) anchor(d time.Duration, v *view, curve curve) Charge {
	b := v.s.Battery
	amps := float64(v.in.Meter.Amps)
	small := max(amps, -amps) <= float64(b.Capacity)*restRate
	full := small && amps >= 0 && v.in.Meter.Volts >= b.Chemistry.fullVoltage()
	c.Full = held(c.Full, d, full)
	c.Resting = held(c.Resting, d, small && !full)
	if c.Full >= fullAfter {
		c.Share, c.Band = 1, 0.03
		return c
	}
	if c.Resting < restAfter {
		return c
	}
	share, steep := curve.read(c.Smooth)
	if !steep {
		return c
	}
	weight := quantity.Share(float64(d) / float64(d+anchorTime))
	c.Share += weight * (share - c.Share)
	c.Band += weight * (curveBand - c.Band)
	return c
}

// gap is the estimate after the daemon was down: the loads were off and the
// panel may have charged, so only the band is honest about it.
func (c Charge) gap(down time.Duration, known bool) Charge {
	c.Resting, c.Full, c.Seen = 0, 0, false
	hours := down.Hours()
	if !known {
		hours = 12
	}
	c.Band = min(0.5, c.Band+quantity.Share(min(hours, 24)*0.01))
	return c
}
