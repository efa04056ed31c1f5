package season

import (
	"fmt"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/weather"
)

// The policies of a bench, in the order in which they are told.
const (
	PolicyOff             = "off"
	PolicyDifference      = "difference"
	PolicyNightDifference = "night-difference"
	PolicyThermostat      = "thermostat"
	PolicyFloor           = "floor"
	PolicyPlan            = "plan"
	PolicyPlanPerfect     = "plan-perfect"
	PolicyForesight       = "foresight"
)

// Policies lists them all.
func Policies() []string {
	return []string{
		PolicyOff, PolicyDifference, PolicyNightDifference, PolicyThermostat,
		PolicyFloor, PolicyPlan, PolicyPlanPerfect, PolicyForesight,
	}
}

// Short is how far below the crop's minimum the thermostat of a bench starts, as in the
// study that the figures are compared with.
const Short quantity.Kelvin = 2

// Bench runs a house through one span of weather by several policies.
type Bench struct {
	House House
	Over  Span
	Sky   func(weather.Sky) weather.Source // a new one for each run
	// Steps is foresight's budget of gradient steps.
	Steps int
	// On is where the thermostat starts; nil: Short below the crop's minimum.
	On *quantity.Celsius
}

// Fly flies one policy, but for foresight, which begins from the others.
func (b Bench) Fly(name string) (Flight, error) {
	fly := func(by Pilot) (Flight, error) { return fly(b.House, b.Over, b.Sky, by) }
	var f Flight
	var err error
	switch name {
	case PolicyOff:
		f, err = fly(Off{})
	case PolicyDifference:
		f, err = fly(&Differential{On: 8, Off: 3})
	case PolicyNightDifference:
		f, err = fly(&Differential{On: 8, Off: 3, At: b.dark})
	case PolicyThermostat:
		on := b.House.Settings.Crop.Minimum.Plus(-Short)
		if b.On != nil {
			on = *b.On
		}
		f, err = fly(&Thermostat{On: on, Band: 1, Over: 3, MinRun: leastRun})
	case PolicyFloor:
		var l *Levelling
		if l, err = NewLevelling(b.House); err == nil {
			f, err = fly(l)
		}
	case PolicyPlan:
		f, err = b.plan(nil)
	case PolicyPlanPerfect:
		var truth *future
		if truth, err = b.future(); err == nil {
			f, err = b.plan(truth)
		}
	default:
		err = fmt.Errorf("no policy is called %q", name)
	}
	f.Score.Policy = name
	return f, err
}

// dark says that the sun is down: its upper limb, with the usual refraction.
func (b Bench) dark(t time.Time) bool { return b.House.Plant.Site.Position(t).Zenith > 90.833 }

// plan flies the decision itself, with the true future where it is given.
func (b Bench) plan(truth *future) (Flight, error) {
	s, err := New(b.House, b.Over.Start, b.Sky)
	if err != nil {
		return Flight{}, err
	}
	if s.mind == nil {
		return Flight{}, fmt.Errorf("season: the house has nothing that plans")
	}
	if truth != nil {
		s.mind.Foretell = truth.ahead
	}
	count := newTally(b.House.Settings.Crop.Minimum, b.Over.Start, b.Over.Offset)
	f := newFlight(b.Over)
	for end := b.Over.end(); s.plant.Clock().Before(end); {
		f.keep(s.plant, s.act.Pump)
		s.Step(minute)
		count.add(s.plant.Clock(), minute, s.plant.Now().Tunnel)
	}
	f.Score, f.Meters = finish(s.plant, count, b.Over), s.plant.Meters()
	return f, nil
}

// Foresee flies foresight, from the best of what was flown.
func (b Bench) Foresee(flown []Flight) (Flight, error) {
	var best *Flight
	for i := range flown {
		if f := &flown[i]; f.Duties != nil && (best == nil || f.Score.Squared < best.Score.Squared) {
			best = f
		}
	}
	if best == nil {
		off, err := b.Fly(PolicyOff)
		if err != nil {
			return off, err
		}
		best = &off
	}
	found, relaxed, err := foresee(b.House, b.Over, b.Sky, *best, b.Steps)
	found.Score.Policy, found.Relaxed = PolicyForesight, relaxed.Relaxed
	return found, err
}
