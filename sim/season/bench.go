package season

import (
	"context"
	"fmt"
	"slices"
	"time"

	"golang.org/x/sync/errgroup"

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

// Bench runs a house through one span of weather by several policies.
type Bench struct {
	House House
	Over  Span
	Sky   func(weather.Sky) weather.Source // a new one for each run
	// Steps is foresight's budget of gradient steps.
	Steps int
	// Done, if set, is called as each policy ends, from several goroutines.
	Done func(policy string)
}

// Flight is how a policy did.
type Flight struct {
	Score  Score
	Duties []float32 // of every minute
	// Relaxed is what foresight's search came to without pulses, K²h; 0 for the others.
	Relaxed float64
}

// Fly runs the named policies, two at a time, in the order of Policies. Where off and
// foresight are among them, each knows its captured share.
func (b Bench) Fly(ctx context.Context, names []string) ([]Flight, error) {
	all := make([]Flight, len(names))
	g, ctx := errgroup.WithContext(ctx)
	g.SetLimit(2)
	for i, name := range names {
		if name == PolicyForesight {
			continue
		}
		g.Go(func() (err error) {
			if ctx.Err() == nil {
				all[i], err = b.one(name)
			}
			return err
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	if err := context.Cause(ctx); err != nil && ctx.Err() != context.Canceled {
		return nil, err
	}
	if i := slices.Index(names, PolicyForesight); i >= 0 {
		var err error
		if all[i], err = b.foresee(all); err != nil {
			return nil, err
		}
	}
	capture(names, all)
	return all, nil
}

// one flies a policy.
func (b Bench) one(name string) (Flight, error) {
	fly := func(by Pilot) (f Flight, err error) {
		f.Score, f.Duties, err = Fly(b.House, b.Over, b.Sky, by)
		return f, err
	}
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
		f, err = fly(&Thermostat{On: 3, Band: 1, Over: 3, MinRun: leastRun})
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
	if b.Done != nil {
		b.Done(name)
	}
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
	f := Flight{Duties: make([]float32, 0, b.Over.Days*24*60)}
	for end := b.Over.end(); s.plant.Clock().Before(end); {
		f.Duties = append(f.Duties, float32(s.act.Pump))
		s.Step(minute)
		count.add(s.plant.Clock(), minute, s.plant.Now().Tunnel)
	}
	f.Score = finish(s.plant, count, b.Over)
	return f, nil
}

// foresee starts from the best of the flights.
func (b Bench) foresee(flown []Flight) (Flight, error) {
	var best *Flight
	for i := range flown {
		if f := &flown[i]; f.Duties != nil && (best == nil || f.Score.Squared < best.Score.Squared) {
			best = f
		}
	}
	if best == nil {
		off, err := b.one(PolicyOff)
		if err != nil {
			return off, err
		}
		best = &off
	}
	found, err := Foresee(b.House, b.Over, b.Sky, best.Duties, best.Score, b.Steps)
	if err != nil {
		return Flight{}, err
	}
	found.Score.Policy = PolicyForesight
	if b.Done != nil {
		b.Done(PolicyForesight)
	}
	return Flight{Score: found.Score, Duties: found.Duties, Relaxed: found.Relaxed}, nil
}

// capture fills in the captured shares.
func capture(names []string, all []Flight) {
	off, best := slices.Index(names, PolicyOff), slices.Index(names, PolicyForesight)
	if off < 0 || best < 0 {
		return
	}
	for i := range all {
		all[i].Score.Capture(all[off].Score.Squared, all[best].Score.Squared)
	}
}
