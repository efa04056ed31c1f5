package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// Charge is the estimated state of charge, a share of what the battery holds when
// full, with an honest band: the truth is meant to lie within Share ± Band.
//
// Where a current is measured it is counted, and the band grows with what is
// counted. Whenever the rest voltage knows better than the count, the estimate
// is drawn towards it, and the band with it, so that both stay true bounds.
// Without a current only the expected draw is counted and the voltage decides,
// with the wide band that it deserves.
//
// It learns the current meter's zero and what the battery still holds; what it does not
// know of them, and the temperature, are in the band.
type Charge struct {
	Share     quantity.Share
	Band      quantity.Share
	OK        bool
	Quiet     time.Duration // how long the current has been small
	Uncharged time.Duration // how long nothing has charged
	Full      time.Duration // how long voltage is high and the current small
	Zero      Zero
	Age       Age
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
	fullAfter  = 30 * time.Minute // longer than dusk takes, when the current falls and the voltage still stands
	fullBand   = quantity.Share(0.05)
	widest     = quantity.Share(0.5)
	// A cell lags behind the probe on its case by some kelvin; too little, and a cold
	// battery is taken for a full one.
	surelyWarm quantity.Celsius = 3
	nearlyFull                  = quantity.Share(0.95)
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
	c.Age = c.Age.of(&v.s.Battery)
	charging := c.charging(v)
	c = c.settle(v, charging)
	c.Zero = c.Zero.learn(&c, v)
	r := c.read(v, charging)
	if !c.OK {
		return c.seed(r, v)
	}
	c = c.count(v, charging)
	if c.Full >= fullAfter {
		c.Share, c.Band, c.Age = 1, fullBand, c.Age.filled()
		return c
	}
	if r.ok && c.rested(v) {
		c.Age = c.Age.judge(r, v.s.Battery.Chemistry)
	}
	return c.pull(r, m.Span)
}

// charging tells by current where there is one, and by a voltage that no
// resting battery has.
func (c Charge) charging(v *view) bool {
	m := &v.st.Samples
	rate := float64(v.s.Battery.Capacity) * chargeRate
	top := restCurve(v.s.Battery.Chemistry).top()
	return float64(m.amps()-c.Zero.Offset) > rate || m.volts() > top+surface
}

// settle times rest, charge and fullness.
func (c Charge) settle(v *view, charging bool) Charge {
	m, b := &v.st.Samples, &v.s.Battery
	amps := float64(m.amps() - c.Zero.Offset)
	tail := float64(b.Capacity) * float64(c.Age.Holds) * restRate
	small := max(amps, -amps) <= tail
	full := v.in.Meter.HasAmps && small && amps >= -tail/40 && m.volts() >= b.Chemistry.fullVoltage() && c.mayBeFull(v)
	c.Quiet = held(c.Quiet, m.Span, small)
	c.Uncharged = held(c.Uncharged, m.Span, !charging)
	c.Full = held(c.Full, m.Span, full)
	return c
}

// mayBeFull tells a full battery from one that takes no current because it must not: a
// cold LiFePO4 battery refuses, and the charger's voltage then looks like that of a full
// one. Where its temperature is not known the count has a say.
func (c Charge) mayBeFull(v *view) bool {
	switch {
	case v.s.Battery.Chemistry != LFP:
		return true
	case v.cell.ok:
		return v.cell.c >= chargeForbidden+surelyWarm
	}
	return !c.OK || c.Share+c.Band >= nearlyFull
}

// blind widens the band while nothing is measured, and gives up in the end.
func (c Charge) blind(d time.Duration) Charge {
	c.Quiet, c.Uncharged, c.Full, c.Age = 0, 0, 0, c.Age.lost()
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
	c.Quiet, c.Uncharged, c.Full, c.Age = 0, 0, 0, c.Age.lost()
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
