package control

import (
	"math"
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// Ledger counts the time for which the plan asked for heat and it did not yet come.
// A duty below 1 of a drive that only runs fully is paid in runs of LeastRun at least.
type Ledger struct {
	Owed time.Duration
	Runs bool
}

// What the ledger holds at most, and when it begins to pay. Our choices; a run is never
// shorter than the loop's own minimum.
const (
	mostOwed  = 30 * time.Minute
	leastOwed = 3 * time.Minute
)

// floorBand is how far above a floor a run ends that began at it.
const floorBand = quantity.Kelvin(0.3)

// pass books d of a planned share of running against what ran.
func (l Ledger) pass(d time.Duration, share float64, ran bool) Ledger {
	l.Owed += time.Duration(share * float64(d))
	if ran {
		l.Owed -= d
	}
	l.Owed = min(max(l.Owed, -leastOwed), mostOwed)
	switch {
	case l.Owed >= leastOwed || share >= 1:
		l.Runs = true
	case l.Owed <= 0:
		l.Runs = false
	}
	return l
}

// follow books a step of the plan. Without one nothing is owed.
func (l Ledger) follow(d time.Duration, v *view) Ledger {
	a := &v.in.Tonight
	if a.Way != night.Planned {
		return Ledger{}
	}
	share, _ := v.s.planned(a.Duty)
	return l.pass(d, share, v.st.pumping() && v.st.Mode == Carrying)
}

// planned is the share of time and the speed for a share of conductance.
func (s *Settings) planned(share float64) (running float64, speed quantity.Share) {
	running, at := s.Carry.Drive.Split(share)
	return running, quantity.Share(at)
}

// tonight spends heat as the mind advises: by the plan, by a floor, or, where it knows
// too little, by the crop's minimum alone.
func tonight(v *view) (wish, bool) {
	a := &v.in.Tonight
	d, ok := v.difference()
	if !ok {
		return wish{}, false
	}
	if !v.tunnel.ok {
		return v.unseen()
	}
	w := wish{pump: true, fans: true, kind: comfort, mode: Carrying}
	running := v.st.Pump.On && v.st.Mode == Carrying
	switch {
	case a.Way == night.Planned:
		_, w.speed = v.s.planned(a.Duty)
		w.reason = Planned
		if v.gathers(d) {
			w.reason = Gathering
			return w, v.st.Ledger.Runs
		}
		return w, v.wanted(running) && d > -v.s.Carry.FanMargin
	case a.Way == night.Levelled:
		w.reason = Levelling
		return w, v.below(quantity.Celsius(a.Level), floorBand, d, running)
	}
	w.reason = CropCold
	return w, v.below(v.s.Crop.Minimum, cropBand, d, running)
}

// unseen spends heat where the tunnel's air is not known: by the difference to the crop's
// minimum, while the greenhouse is not above that.
func (v *view) unseen() (wish, bool) {
	if house := v.s.reads(v.in, Greenhouse); house >= float64(v.s.Crop.Minimum) {
		return wish{}, false
	}
	return carry(v)
}

// wanted says that the plan's heat is due: by the time owed, or, where a run of minutes swings
// light air by many K, by the air that the plan has at this hour.
func (v *view) wanted(running bool) bool {
	a := &v.in.Tonight
	level := quantity.Celsius(a.Level)
	switch {
	case !a.Hold:
		return v.st.Ledger.Runs
	case a.Duty < leastShare:
		return false
	case a.Duty > mostShare:
		return true
	case running:
		return v.air < level.Plus(floorBand)
	}
	return v.air < level
}

// A share of running below the one is none, above the other all of the time, where air is
// held. Our choices.
const leastShare, mostShare = 0.02, 0.95

// gathers says that the tunnel has warmth to spare for a colder tank.
func (v *view) gathers(d quantity.Kelvin) bool {
	return v.tunnel.ok && d <= -v.s.Carry.FanMargin && v.air >= v.s.Crop.Minimum.Plus(cropBand)
}

// below says that the air is below a level, with a band above it, and the tank warm
// enough to be worth the battery.
func (v *view) below(level quantity.Celsius, band, d quantity.Kelvin, running bool) bool {
	if running {
		return v.air < level.Plus(band) && d > v.stopAt
	}
	return v.air < level && d >= v.stopAt+usefulBand
}

// saves is why heat rests although a mind is at work.
func (v *view) saves() Reason {
	a := &v.in.Tonight
	d, ok := v.difference()
	switch {
	case !ok || a.Way == night.Unasked:
		return TankCool
	case a.Way == night.Waiting && v.tunnel.ok && v.air >= v.s.Crop.Minimum:
		return WarmEnough
	case a.Way == night.Waiting:
		return TankCool
	case !a.Cold:
		return NoNeed
	case d <= -v.s.Carry.FanMargin && !v.gathers(d):
		return TankCool
	}
	return Saving
}

// Sample is what a mind is told of a step, at a time of day that is known to be right.
func (s *Settings) Sample(in *Inputs, d *Decision, at time.Time) night.Sample {
	f := &d.Facts
	flow, power := night.Ran(s.Speeds(d.Outputs))
	return night.Sample{
		Time: at, Passed: in.Elapsed,
		Tank: s.reads(in, Tank), Air: s.reads(in, Tunnel),
		House: s.reads(in, Greenhouse), Bed: s.reads(in, Bed), Sun: s.sun(in, d), Flow: flow, Power: power,
		Charge: maybe(float64(f.Charge), f.ChargeOK), Floor: float64(f.Reserve),
		Drawn: s.drawn(in, f),
	}
}

// drawn from the battery by its meter, as a share of its capacity an hour.
func (s *Settings) drawn(in *Inputs, f *Facts) night.Known {
	if !in.Meter.HasAmps || in.Meter.Age > s.StaleAfter || s.Battery.Capacity <= 0 {
		return night.Absent()
	}
	return float64(f.Zero-in.Meter.Amps) / float64(s.Battery.Capacity)
}

// brightAmps is the current's share of full sun at which Element.Sign is meant.
const brightAmps = 0.4

// full is the charge above which a battery takes less than its panel could give.
const full = 0.9

// sun is the share of full sun: by the element's panel, else by the battery's own while
// the battery takes all that comes.
func (s *Settings) sun(in *Inputs, d *Decision) night.Known {
	f := &d.Facts
	wired := d.Outputs.Closed || !s.Fitted.Contactor
	if f.HeatingOK && s.Element.FullSun > 0 && wired {
		return math.Sqrt(max(0, float64(f.Heating/s.Element.FullSun)))
	}
	if s.Element.Sign <= 0 || !in.Meter.HasAmps || in.Meter.Age > s.StaleAfter {
		return night.Absent()
	}
	given := in.Meter.Amps + s.loads(d.Outputs) + s.Battery.RestDraw
	if f.Charge > full && given > s.Element.Sign/8 {
		return night.Absent()
	}
	return max(0, brightAmps*float64(given/s.Element.Sign))
}

// Speeds are those of pump and fans at some outputs, as shares of the duties the file sets.
func (s *Settings) Speeds(o Outputs) (pump, fans float64) {
	if s.Carry.PumpDuty <= 0 || s.Carry.FanDuty <= 0 {
		return 0, 0
	}
	return min(1, float64(o.Pump/s.Carry.PumpDuty)), min(1, float64(o.Fans/s.Carry.FanDuty))
}

func maybe(x float64, ok bool) night.Known {
	if !ok {
		return night.Absent()
	}
	return x
}

// reads is a place's temperature, if known.
func (s *Settings) reads(in *Inputs, p Place) night.Known {
	t := &in.Places[p]
	return maybe(float64(t.Value), s.Fitted.Places[p] && t.Ever && t.Age <= s.StaleAfter)
}
