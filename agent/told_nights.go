package agent

import (
	"context"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/nightly"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// ToldNights are recorded nights to be summed up, one after another, each from noon to noon.
type ToldNights struct {
	File  *config.File
	Loop  string // whose
	Past  *record.Reader
	Zone  *time.Location
	Now   time.Time     // up to which there can be readings
	Usual time.Duration // time between readings
	// Seen, if set, is handed every reading of a night, and what it is summed by.
	Seen func(nightly.Rules, *record.Reading)

	settings control.Settings
	mind     night.Settings
	minimum  changes
	memory   *night.Memory
	last     time.Time
}

// remembers is how long before the first night the record is read, for the twin to learn from:
// a week, and a day for the sun's usual course.
const remembers = 8

// Tell sums up so many nights from the one that begins at a noon on.
func (t *ToldNights) Tell(ctx context.Context, noon time.Time, count int) (all []nightly.Night, err error) {
	if t.settings, err = t.File.Settings(); err != nil {
		return nil, err
	}
	if t.mind, err = planner(t.File); err != nil {
		return nil, err
	}
	changed, err := t.Past.Changes(ctx)
	if err != nil {
		return nil, err
	}
	t.minimum = changesOf(changed, t.Loop, "crop.minimum", temperature)
	t.memory = night.NewMemory(t.mind.Skies)
	noon = noon.In(t.Zone)
	if err := t.each(ctx, noon.AddDate(0, 0, -remembers), noon, func(*record.Reading) {}); err != nil {
		return nil, err
	}
	for i := range count {
		n, err := t.night(ctx, noon.AddDate(0, 0, i))
		if err != nil {
			return all, err
		}
		all = append(all, n)
	}
	return all, nil
}

// each goes through the loop's readings, and remembers them.
func (t *ToldNights) each(ctx context.Context, from, to time.Time, do func(*record.Reading)) error {
	return t.Past.Each(ctx, from, to, func(x record.Reading) error {
		if x.Loop != t.Loop {
			return ctx.Err()
		}
		if passed := x.At.Sub(t.last); passed > 0 && passed < time.Hour {
			sample := sampleOf(&t.settings, &x, passed)
			t.memory.Add(&sample)
		}
		t.last = x.At
		do(&x)
		return ctx.Err()
	})
}

// night sums up the one that begins at a noon.
func (t *ToldNights) night(ctx context.Context, noon time.Time) (nightly.Night, error) {
	twin := t.learn()
	r := t.rules(noon, &twin)
	sum := nightly.NewSum(r)
	if err := t.tell(ctx, sum, r); err != nil {
		return nightly.Night{}, err
	}
	stood := standings{gap: 3 * t.Usual, dusk: r.Dusk}
	err := t.each(ctx, r.From, r.To, func(x *record.Reading) {
		sum.Add(x)
		stood.add(x)
		if t.Seen != nil {
			t.Seen(r, x)
		}
	})
	if err != nil {
		return nightly.Night{}, err
	}
	sum.Close()
	n := sum.Night()
	if n.Loop == "" {
		n.Loop = t.Loop
	}
	return n, t.relive(&n, sum, stood, &twin, r)
}

// tell gives a sum the events of its night.
func (t *ToldNights) tell(ctx context.Context, sum *nightly.Sum, r nightly.Rules) error {
	within, err := t.Past.Told(ctx, t.Loop, r.From, r.To, record.KindTonight, record.KindAlert)
	if err != nil {
		return err
	}
	before, ok, err := t.Past.Before(ctx, t.Loop, record.KindAlert, r.From)
	if err != nil {
		return err
	}
	sum.Told(within)
	if !ok {
		sum.Alerts(nil, within)
		return nil
	}
	sum.Alerts(&before, within)
	return nil
}

// rules are what the night from a noon on is summed by.
func (t *ToldNights) rules(noon time.Time, twin *twinned) nightly.Rules {
	l := t.File.Loop()
	r := nightly.Rules{
		From: noon, To: noon.AddDate(0, 0, 1), Now: t.Now, Period: t.Usual,
		Coil: twin.coil, Pump: l.Pump.Draw, Fans: l.Fans.Draw, Settings: &t.settings,
		// The file's: what a tank holds is weighed, and learned only beside a sun that is often known poorly.
		TankHeat: quantity.JoulePerKelvin(t.mind.Twin.Tank), TankLoss: quantity.WattPerKelvin(t.mind.Twin.TankLoss),
	}
	for _, n := range nights(t.File, r.From, r.To) {
		if !n.Set.Before(r.From) && n.Set.Before(r.To) {
			r.Dusk = n.Set
		}
		if n.Rise.After(r.From) && !n.Rise.After(r.To) {
			r.Dawn = n.Rise
		}
	}
	at := r.Dusk
	if at.IsZero() {
		at = r.From
	}
	r.Minimum = quantity.Celsius(t.minimum.at(at, float64(l.Crop.Minimum)))
	return r
}
