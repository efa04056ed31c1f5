package agent

import (
	"context"
	"errors"
	"fmt"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/season"
)

// How many steps a mind takes at its plan in a tick: so many for each second of the period,
// within bounds. A step that weighs eight pasts takes 0.07 ms on a desk, learning once a day
// 3 ms (go test -bench . ./control/night). The slowest board meant, a single ARM1176 core, is
// taken to be a hundred times slower: counting primes it is 113 times slower than a current
// board's core (24.3 against 2737 a second, leoncode.co.uk/articles/raspberry-pi-benchmarks),
// at tuned linear algebra only 3 times slower than a recent one's (267 MFLOPS at 900 MHz,
// raspi.madavi.de/2015/07, against 812, sci-pi.org.uk/bench/linpack.html); all three read
// as excerpts, none measured here. A tick's thought then takes 3 % of its period, and the
// day's lesson 0.3 s: no tick of a second or more is late for it.
const (
	stepsASecond = 4
	mostSteps    = 40
)

// thoughts are a tick's steps.
func thoughts(period time.Duration) int {
	return min(max(int(stepsASecond*period.Seconds()), stepsASecond), mostSteps)
}

// Planner is the settings of the mind that plans for the file's loop; not ok where the
// file has it spent by difference, or a probe is missing that a plan needs.
func Planner(f *config.File) (s night.Settings, ok bool, err error) {
	l := f.Loop()
	if l.Carry.Spend != config.ByPlan || missing(l) != "" {
		return s, false, nil
	}
	s, err = planner(f)
	return s, err == nil, err
}

// planner is the settings of a mind for the file's loop, whatever spends its heat.
func planner(f *config.File) (s night.Settings, err error) {
	l := f.Loop()
	p := plantParams(f)
	twin, _, err := season.TwinOf(p)
	if err != nil {
		return s, fmt.Errorf("the plan's model: %w", err)
	}
	s = night.Usual(twin)
	s.Minimum, s.Harm, s.Margin = float64(l.Crop.Minimum), float64(l.Crop.Harm), float64(l.Plan.Margin)
	if l.Plan.Thrift > 0 {
		s.Thrift = float64(l.Plan.Thrift)
	}
	if l.Plan.Ahead > 0 {
		s.Horizon = int(l.Plan.Ahead.Duration().Seconds() / night.Step)
	}
	if l.Carry.Speed == config.VariedSpeed {
		s.Drive = night.Varied
	}
	s.Noon = noonSlot(f)
	s.Skies = season.Skies(p.Site, p.Element.Panel.Plane)
	return s, nil
}

// missing names the place without a probe that a plan needs.
func missing(l *config.Loop) string {
	for _, p := range [...]control.Place{control.Tank, control.Tunnel, control.Greenhouse} {
		if l.Probes[p].ID == "" {
			return p.String()
		}
	}
	return ""
}

// noonSlot is the slot of the day, in UTC, that begins at noon by the sun.
func noonSlot(f *config.File) int64 {
	noon := 12 - float64(f.Site.Longitude)/15
	return int64(noon*6+144) % 144
}

// tonight is the loop's mind, and its past on the way.
type tonight struct {
	mind  *night.Mind        // nil where heat is spent by difference
	past  chan *night.Memory // nil where it has come, or none will
	steps int                // of thought in a tick
	// zone is what a person there reads on a clock.
	zone *time.Location
	// standing of the forecasts from outside, as it was last kept.
	standing night.Standing
	// skies are those that the past is remembered under.
	skies night.Skies
}

// newTonight makes the mind of a file's loop.
func newTonight(f *config.File) (*tonight, error) {
	s, ok, err := Planner(f)
	if err != nil || !ok {
		return &tonight{}, err
	}
	return &tonight{mind: night.NewMind(s), skies: s.Skies, zone: time.Local, steps: thoughts(f.Daemon.Period.Duration())}, nil
}

// wish tells the mind what the grower has changed.
func (t *tonight) wish(f *config.File) error {
	if t.mind == nil {
		return nil
	}
	s, err := planner(f)
	if err != nil {
		return err
	}
	t.mind.Wish(s.Wishes)
	return nil
}

// advise puts the advice into a tick's inputs.
func (t *tonight) advise(in *control.Inputs) {
	if t.mind == nil {
		return
	}
	select {
	case old := <-t.past:
		t.mind.Recall(old)
		t.past = nil
	default:
	}
	in.Tonight = t.mind.Advice()
}

// see lets the mind see a tick, and work for a while.
func (t *tonight) see(s *control.Settings, in *control.Inputs, d *control.Decision, now time.Time) {
	switch {
	case t.mind == nil:
	case !in.ClockTrusted:
		t.mind.Blind()
	default:
		sample := s.Sample(in, d, now.In(t.zone))
		t.mind.Observe(&sample)
		t.mind.Think(t.steps)
	}
}

// Past reads what the record holds of a mind's span before its end, oldest first.
type Past func(ctx context.Context, do func(record.Reading) error) error

// recall reads the past on a goroutine of its own: a board that starts must run its pump
// before it has read three weeks.
func (t *tonight) recall(ctx context.Context, s control.Settings, past Past, failed func(error)) {
	if t.mind == nil || past == nil {
		return
	}
	t.past = make(chan *night.Memory, 1)
	go func() {
		memory, last := night.NewMemory(t.skies), time.Time{}
		err := past(ctx, func(x record.Reading) error {
			if passed := x.At.Sub(last); passed > 0 && passed < time.Hour && !x.Simulated {
				sample := sampleOf(&s, &x, passed)
				memory.Add(&sample)
			}
			last = x.At
			return ctx.Err()
		})
		if err != nil {
			failed(err)
		}
		t.past <- memory
	}()
}

// sampleOf a recorded reading.
func sampleOf(s *control.Settings, x *record.Reading, passed time.Duration) night.Sample {
	in := control.Inputs{Elapsed: passed, ClockTrusted: true}
	for p := range control.Places {
		v := x.Places[p]
		in.Places[p] = control.Temperature{Value: quantity.Celsius(v.V), Ever: v.OK, Age: v.Age}
	}
	in.Meter = control.Meter{Amps: quantity.Ampere(x.Amps.V), HasAmps: x.Amps.OK, Age: x.Amps.Age}
	d := control.Decision{Outputs: x.Outputs, Facts: control.Facts{
		Heating: quantity.Watt(x.Heating.V), HeatingOK: x.Heating.OK,
		Charge: quantity.Share(x.Charge.V), ChargeOK: x.Charge.OK,
	}}
	return s.Sample(&in, &d, x.At)
}

// pastOf reads a record's file, beside whoever writes it.
func pastOf(path string, latest time.Time) Past {
	return func(ctx context.Context, do func(record.Reading) error) (err error) {
		r, err := record.OpenReadOnly(path)
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, r.Close()) }()
		return r.Each(ctx, latest.Add(-night.Span), latest.Add(time.Millisecond), do)
	}
}
