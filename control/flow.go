package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// Flow is the proof that the pump moves liquid. After each start the coil or
// return probe must come towards the tank, or the battery must show the pump's
// current. A start that can be judged by neither is not judged and not counted.
//
// The battery's current is a net one. While it charges, the charger may make up
// what the pump draws and the current says nothing; a cloud that passes in that
// minute can hide or fake a draw. Heat is therefore asked first, and a current only
// while the battery gives.
type Flow struct {
	Watching  bool
	For       time.Duration   // since the pump started
	ByHeat    bool            // tank and probe stood far enough apart at the start
	ByCurrent bool            // a current was measured at the start
	Far       quantity.Kelvin // tank less probe at the start
	Probe     quantity.Celsius
	UseReturn bool            // the probe is the return, not the coil
	Amps      quantity.Ampere // before the start
	FansRan   bool            // before the start
	Tries     int             // failed in a row
	Wait      time.Duration   // until the next try
	Halted    bool
	Stalled   time.Duration // how long a running loop has looked still
}

const (
	// heatShare is the part of the starting difference that the probe must
	// close in the time given. Chosen: a moving loop closes half and more
	// within a transit or two; conduction along a still pipe closes a few
	// percent. Smaller trusts a still loop, larger halts a slow one.
	heatShare = 0.25
	// coldShare is the part of the way from tank to air at which a return counts as
	// cold. Chosen: a coil takes about half of it from a moving loop's liquid.
	coldShare = 0.75
	// currentShare is the part of the pump's current that must appear.
	// Chosen: covers cold and warm liquid; a broken wire draws none.
	currentShare = 0.5
	// lowMeter is how low a current meter may read: a shunt of 5 % and a gain of the same.
	// Our choice.
	lowMeter = 0.9
	// stated is the voltage at which a motor's current is stated.
	stated = quantity.Volt(12)
	// A running loop looks still when the probe is within stallShare of the
	// air although tank and air are stallApart apart, for stallAfter.
	stallShare = 0.15
	stallApart = quantity.Kelvin(10)
	stallAfter = 5 * time.Minute
)

// begin takes the baseline just before the pump starts.
func (f Flow) begin(v *view) Flow {
	f.For, f.Stalled = 0, 0
	f.ByHeat = f.far(v, v.coil)
	f.UseReturn = !f.ByHeat && f.far(v, v.ret) && v.returnCold()
	f.ByHeat = f.ByHeat || f.UseReturn
	f.Probe = f.probe(v).c
	f.Far = v.tank.c.Minus(f.Probe)
	f.Amps, f.FansRan = v.in.Meter.Amps, v.st.Fans.On
	f.ByCurrent = v.s.Proof.PumpCurrent > 0 && v.drawKnown() && f.Amps <= 0
	f.Watching = f.ByHeat || f.ByCurrent
	return f
}

// far says whether a probe stands far enough from the tank to show movement.
func (f Flow) far(v *view, probe known) bool {
	far := v.tank.c.Minus(probe.c)
	return v.tank.ok && probe.ok && max(far, -far) >= v.s.Proof.Difference
}

// returnCold says that the return stands where only a still loop leaves it: nearer
// to the air than the coil brings the liquid of a moving one. A return still warm
// from the last run need not come any nearer to the tank.
func (v *view) returnCold() bool {
	return !v.tunnel.ok || v.tank.c.Minus(v.ret.c) >= coldShare*v.tank.c.Minus(v.tunnel.c)
}

func (f Flow) probe(v *view) known {
	if f.UseReturn {
		return v.ret
	}
	return v.coil
}

// drawKnown says that the battery's current is measured now.
func (v *view) drawKnown() bool { return v.in.Meter.HasAmps && v.meterKnown() }

// pass watches a running pump, and lets the wait run down while it rests.
func (f Flow) pass(d time.Duration, v *view) Flow {
	f.Wait = max(0, f.Wait-d)
	if !v.st.pumping() {
		f.Watching, f.Stalled = false, 0
		return f
	}
	if f.Watching {
		return f.judge(d, v)
	}
	f.Stalled = held(f.Stalled, d, f.still(v))
	if f.Stalled >= stallAfter {
		return f.failed(v)
	}
	return f
}

func (f Flow) judge(d time.Duration, v *view) Flow {
	f.For += d
	moved, judged := f.moved(v)
	switch {
	case moved:
		f.Watching, f.Tries, f.Halted = false, 0, false
	case f.For < v.s.Proof.Within:
	case judged:
		return f.failed(v)
	default: // what was to show it has been lost meanwhile: nothing is proved
		f.Watching = false
	}
	return f
}

// moved says whether heat or current shows that the loop runs, and whether
// either could be judged now.
func (f Flow) moved(v *view) (moved, judged bool) {
	if probe := f.probe(v); f.ByHeat && probe.ok {
		closed := probe.c.Minus(f.Probe)
		if f.Far < 0 {
			closed = -closed
		}
		return closed >= heatShare*max(f.Far, -f.Far), true
	}
	if !f.ByCurrent || !v.drawKnown() || v.in.Meter.Amps > 0 {
		return false, false
	}
	drawn := f.Amps - v.in.Meter.Amps
	if v.st.Fans.On {
		drawn -= v.fanAmps()
	}
	if f.FansRan {
		drawn += v.fanAmps()
	}
	return drawn >= currentShare*v.atVolts(v.s.Proof.PumpCurrent), true
}

// fanAmps is what the fans draw of the meter's current at the least: a meter that reads
// a tenth low must not take big fans for a small pump that stands.
func (v *view) fanAmps() quantity.Ampere { return lowMeter * v.atVolts(v.s.Proof.FanCurrent) }

// atVolts is a motor's current, stated at 12 V, at the battery's voltage: its power stays.
func (v *view) atVolts(amps quantity.Ampere) quantity.Ampere {
	return amps * quantity.Ampere(stated/max(v.in.Meter.Volts, stated/2))
}

// still says whether a running loop looks as if nothing moved: the probe has
// gone to the air although the tank is much warmer.
func (f Flow) still(v *view) bool {
	probe := v.coil
	if !probe.ok {
		probe = v.ret
	}
	if !probe.ok || !v.tank.ok || !v.tunnel.ok {
		return false
	}
	apart := v.tank.c.Minus(v.tunnel.c)
	return apart >= stallApart && probe.c.Minus(v.tunnel.c) < stallShare*apart
}

// failed counts a try, and halts after the last.
func (f Flow) failed(v *view) Flow {
	f.Watching, f.Stalled = false, 0
	f.Tries++
	f.Wait = v.s.Proof.TryEvery
	f.Halted = f.Tries >= v.s.Proof.Tries
	return f
}
