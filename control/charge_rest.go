package control

import "duskloop/sensors/quantity"

// What may stand between a battery's voltage at rest and its curve.
const (
	// A meter of ±0.5 % at 12 V.
	meterVolts = quantity.Volt(0.06)
	// LiFePO4 rests higher after charging than after discharging: 20 mV in each of four
	// cells (from memory, unverified).
	hysteresis = quantity.Volt(0.08)
	// The curve itself, and its temperature: +1 to +1.5 mV/K, 3 % of the charge in 25 K
	// (facts 5.1). Chosen with some room for a table from memory.
	curveBand = quantity.Share(0.05)
	// A battery that gives a little for hours reads low: by 130 mV at C/100 if it is old
	// and cold, and LiFePO4 by 80 mV (our estimates). Too small, and an old battery is
	// believed emptier than it is.
	pulledLead, pulledLFP = 13.0, 8.0 // V for each capacity an hour
	pulledMost            = quantity.Volt(0.2)
	// In its last quarter the voltage bends down under any load, below the curve's end if
	// the rest is bound or locked by cold.
	lastQuarter = quantity.Share(0.25)
)

// rested says that the voltage has come to rest, as far as a current can tell.
func (c Charge) rested(v *view) bool {
	return v.in.Meter.HasAmps && c.Quiet >= quietAfter && c.Uncharged >= unchargedAfter
}

// bounds is the span of charge that a rested voltage allows: what the curve says of the
// lowest and of the highest voltage that could stand behind it. Where the curve is flat
// that is most of it.
func (c Charge) bounds(v *view) reading {
	b := &v.s.Battery
	curve := restCurve(b.Chemistry)
	volts := v.st.Samples.volts()
	margin := meterVolts
	if b.Chemistry == LFP {
		margin += hysteresis
	}
	low, _ := curve.read(volts - margin)
	high, _ := curve.read(volts + margin + c.pulled(v))
	if loaded := v.st.Samples.amps() < c.Zero.Offset; loaded && high < lastQuarter {
		high = lastQuarter + lockedByCold(b.Chemistry, v.cell)
	}
	return reading{(low + high) / 2, (high-low)/2 + curveBand, true}
}

// pulled is how much a load may take off the rest voltage: a small one by its current,
// a large one the most, until the battery has recovered from it.
func (c Charge) pulled(v *view) quantity.Volt {
	if c.Quiet < quietAfter {
		return pulledMost
	}
	b := &v.s.Battery
	load := float64(c.Zero.Offset-v.st.Samples.amps()) / float64(b.Capacity)
	rate := pulledLead
	if b.Chemistry == LFP {
		rate = pulledLFP
	}
	return min(pulledMost, quantity.Volt(max(0, load)*rate))
}
