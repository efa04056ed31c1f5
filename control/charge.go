package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// Charge is the estimated state of charge, a share of the rated capacity, with
// an honest band: the truth is meant to lie within Share ± Band.
//
// Where a current is measured it is counted, and the band grows with what is
// counted. Whenever the rest voltage knows better than the count, the estimate
// is drawn towards it, and the band with it, so that both stay true bounds.
// Without a current only the expected draw is counted and the voltage decides,
// with the wide band that it deserves.
//
// It does not know the battery's temperature or age: both are in the band.
type Charge struct {
	Share     quantity.Share
	Band      quantity.Share
	OK        bool
	Quiet     time.Duration // how long the current has been small
	Uncharged time.Duration // how long nothing has charged
	Full      time.Duration // how long voltage is high and the current small
}

// Numbers with a source: facts 5.1 and 5.11 of the project's reference notes.
const (
	quietAfter     = time.Hour     // "after discharge about an hour"
	unchargedAfter = 4 * time.Hour // surface charge: "|I| < C/100 for 2-4 h", from memory there
	restRate       = 1.0 / 50      // of capacity per hour: tail current of a full battery
	chargeRate     = 1.0 / 100     // of capacity per hour: above it, it charges
)

// Numbers we chose, with what happens if they are wrong.
const (
	anchorTime = time.Hour        // time constant of the pull towards the curve; shorter shows noise
	fullAfter  = 10 * time.Minute // longer than a cloud's edge
	fullBand   = quantity.Share(0.05)
	widest     = quantity.Share(0.5)
	// surface is how far above the curve's top a voltage stands only while
	// charging or soon after.
	surface = quantity.Volt(0.05)
)

// pass moves the estimate on by d.
func (c Charge) pass(d time.Duration, v *view) Charge {
	m := &v.st.Samples
	switch {
	case !v.rest.ok:
		return c.blind(d)
	case !m.Fresh || !m.settled():
		return c
	}
	charging := c.charging(v)
	c = c.settle(v, charging)
	r := c.read(v, charging)
	if !c.OK {
		return c.seed(r, v)
	}
	c = c.count(v, charging)
	if c.Full >= fullAfter {
		c.Share, c.Band = 1, fullBand
		return c
	}
	return c.pull(r, m.Span)
}

// charging tells by current where there is one, and by a voltage that no
// resting battery has.
func (c Charge) charging(v *view) bool {
	m := &v.st.Samples
	rate := float64(v.s.Battery.Capacity) * chargeRate
	top := restCurve(v.s.Battery.Chemistry).top()
	return float64(m.amps()) > rate || m.volts() > top+surface
}

// settle times rest, charge and fullness.
func (c Charge) settle(v *view, charging bool) Charge {
	m, b := &v.st.Samples, &v.s.Battery
	amps := float64(m.amps())
	tail := float64(b.Capacity) * restRate
	small := max(amps, -amps) <= tail
	full := v.in.Meter.HasAmps && small && amps > -tail/4 && m.volts() >= b.Chemistry.fullVoltage()
	c.Quiet = held(c.Quiet, m.Span, small)
	c.Uncharged = held(c.Uncharged, m.Span, !charging)
	c.Full = held(c.Full, m.Span, full)
	return c
}

// blind widens the band while nothing is measured, and gives up in the end.
func (c Charge) blind(d time.Duration) Charge {
	c.Quiet, c.Uncharged, c.Full = 0, 0, 0
	c.Band = min(1, c.Band+quantity.Share(d.Hours()*0.05))
	if c.Band > widest {
		c.OK = false
	}
	return c
}

// gap is the estimate after the daemon was down: its loads were off and the
// panel may have charged at a tenth of the capacity an hour, so the band says
// so. A gap of unknown length may have been a day.
func (c Charge) gap(down time.Duration, known bool) Charge {
	c.Quiet, c.Uncharged, c.Full = 0, 0, 0
	hours := down.Hours()
	if !known {
		hours = 24
	}
	c.Band += quantity.Share(min(hours, 24) * 0.1)
	if c.Band > widest {
		c.OK, c.Band = false, widest
	}
	return c
}
