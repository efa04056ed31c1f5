package agent

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"golang.org/x/sync/errgroup"

	"duskloop/agent/config"
	"duskloop/agent/page"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/coil"
	"duskloop/sim/plant"
	"duskloop/sim/season"
)

// previewNights is how many recorded nights are lived again.
const previewNights = 7

// Preview says what changed settings would have done: the last nights that are remembered
// lived again, with the greenhouse as it was learned while running, as they are and
// changed; and tonight's outlook, changed.
func (h *housePage) Preview(ctx context.Context, changed map[string]string, u quantity.Units) (page.Preview, error) {
	x, err := h.parts.loop.Remembers(ctx)
	if err != nil {
		return page.Preview{}, err
	}
	now := *x.file
	now.Site.Units = u
	then, made, err := now.With(changed)
	if faults, is := errors.AsType[config.Faults](err); is {
		return page.Preview{Faults: beside(faults)}, nil
	}
	if err != nil || x.memory == nil {
		return page.Preview{Changes: changesOf(made, x.file.Loop().Name)}, err
	}
	days, begun, err := h.begun(ctx)
	if err != nil {
		return page.Preview{}, err
	}
	p, err := livedTwice(ctx, x, &now, then, days, begun, h.parts.zone())
	p.Changes = changesOf(made, x.file.Loop().Name)
	return p, err
}

// changesOf are changes by their short keys.
func changesOf(made []config.Change, loop string) (all []page.Change) {
	for _, c := range made {
		all = append(all, page.Change{Name: strings.TrimPrefix(c.Key, "loop."+loop+"."), From: c.From, To: c.To})
	}
	return all
}

// beside are faults by the fields that they belong to.
func beside(faults config.Faults) map[string]string {
	by := make(map[string]string)
	for _, f := range faults {
		by[f.Key] = f.Problem
		if f.Allowed != "" {
			by[f.Key] += " (" + f.Allowed + ")"
		}
	}
	return by
}

// begun is how the last days began at noon, and how things stand now.
func (h *housePage) begun(ctx context.Context) (days []season.Begun, now season.Begun, err error) {
	r, err := h.reader()
	if err != nil {
		return nil, now, err
	}
	defer r.Close()
	latest := time.UnixMilli(h.at.Load())
	noon := noonBefore(latest, h.parts.zone())
	for n := previewNights; n > 0; n-- {
		if b, ok := first(ctx, r, noon.AddDate(0, 0, -n)); ok {
			days = append(days, b)
		}
	}
	now, _ = last(ctx, r, latest)
	return days, now, ctx.Err()
}

// errEnough ends a look at the record.
var errEnough = errors.New("enough")

// first is the first reading soon after a time that tells all that a day begins with.
func first(ctx context.Context, r *record.Reader, at time.Time) (b season.Begun, ok bool) {
	_ = r.Each(ctx, at, at.Add(10*time.Minute), func(x record.Reading) error {
		if b, ok = begins(&x); ok {
			return errEnough
		}
		return nil
	})
	return b, ok
}

// last is the last one up to a time.
func last(ctx context.Context, r *record.Reader, at time.Time) (b season.Begun, ok bool) {
	_ = r.Each(ctx, at.Add(-10*time.Minute), at.Add(time.Second), func(x record.Reading) error {
		if y, is := begins(&x); is {
			b, ok = y, true
		}
		return nil
	})
	return b, ok
}

// begins is a reading as the beginning of a day; a bed that has no probe is taken as warm as
// the tunnel's air.
func begins(x *record.Reading) (b season.Begun, ok bool) {
	at := func(p control.Place) quantity.Celsius { return quantity.Celsius(x.Places[p].V) }
	b = season.Begun{At: x.At, Tank: at(control.Tank), Tunnel: at(control.Tunnel), Bed: at(control.Tunnel), Charge: quantity.Share(x.Charge.V)}
	if x.Places[control.Bed].OK {
		b.Bed = at(control.Bed)
	}
	return b, x.Places[control.Tank].OK && x.Places[control.Tunnel].OK && x.Charge.OK
}

// livedTwice lives the days again by two files, side by side, and looks ahead by the second.
func livedTwice(ctx context.Context, x remembered, now, then *config.File, days []season.Begun, standing season.Begun, zone *time.Location) (p page.Preview, err error) {
	var again, changed []season.Relived
	g, working := errgroup.WithContext(ctx) // who asked may have gone
	for _, job := range []struct {
		f    *config.File
		into *[]season.Relived
	}{{now, &again}, {then, &changed}} {
		g.Go(func() error {
			h, err := twinHouse(job.f, &x.twin)
			if err == nil {
				*job.into, err = season.Relive(h, x.memory, days, now.Loop().Crop.Minimum, working.Err)
			}
			return err
		})
	}
	if err := g.Wait(); err != nil {
		return p, err
	}
	var off float64
	for i := range again {
		a, c := &again[i], &changed[i]
		p.Nights = append(p.Nights, page.Replayed{
			Noon: a.At, Was: a.Was, Again: a.Coldest, Then: c.Coldest, SquaredAgain: a.Squared, SquaredThen: c.Squared, WhAgain: a.Used, WhThen: c.Used,
			BelowAgain: a.Below, BelowThen: c.Below,
		})
		off += a.Off * a.Off / float64(len(again))
	}
	p.Off = math.Sqrt(off)
	if !standing.At.IsZero() {
		p.Tonight, err = tonightThen(then, x, standing, zone)
	}
	return p, err
}

// tonightThen is the outlook's sentence by changed settings.
func tonightThen(f *config.File, x remembered, standing season.Begun, zone *time.Location) (string, error) {
	h, err := twinHouse(f, &x.twin)
	if err != nil {
		return "", err
	}
	a, err := season.Ahead(h, x.memory, standing)
	if err != nil {
		return "", err
	}
	a.Learned = nil // that is no news of the change
	if words := control.TonightWords(a, control.Barred{}, standing.At, f.Site.Units, zone); words != "" {
		return "Tonight, changed: " + words, nil
	}
	return "", nil
}

// twinHouse is a file's greenhouse in the single figures of a twin, as it was learned,
// with probes that do not err.
func twinHouse(f *config.File, t *night.Twin) (season.House, error) {
	l := f.Loop()
	if l.Probes[control.Greenhouse].ID == "" {
		return season.House{}, fmt.Errorf("no probe in the greenhouse: its nights are not remembered")
	}
	h, err := House(f, 0, 1)
	if err != nil {
		return h, err
	}
	p := &h.Plant
	p.Tank.Capacity, p.Tank.Loss, p.Tank.OpenSurface = quantity.JoulePerKelvin(t.Tank), quantity.WattPerKelvin(t.TankLoss), 0
	p.Loop = plant.Loop{Circuit: coil.Circuit{Flow: p.Loop.Flow}, Pump: p.Loop.Pump}
	p.Coil = plant.Coil{Lumped: quantity.WattPerKelvin(t.Coil)}
	p.Tunnel.Air, p.Tunnel.Bed = quantity.JoulePerKelvin(t.Air), quantity.JoulePerKelvin(t.Bed)
	p.Tunnel.Cover, p.Tunnel.BedToAir, p.Tunnel.BedToSoil = quantity.WattPerKelvin(t.Cover), quantity.WattPerKelvin(t.BedToAir), quantity.WattPerKelvin(t.BedToSoil)
	if gain := t.AirSun + t.BedSun; gain > 0 {
		p.Tunnel.Sun, p.Tunnel.SunToBed = quantity.SquareMetre(gain/1000), quantity.Share(t.BedSun/gain)
	}
	h.Settings.Fitted.Places[control.Coil], h.Settings.Fitted.Places[control.Return] = false, false
	h.Probes.Noise, h.Probes.Spread, h.PanelMeasured = 0, 0, true
	return h, nil
}
