package agent

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"golang.org/x/sync/errgroup"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/coil"
	"duskloop/sim/plant"
	"duskloop/sim/season"
)

// twice is the past lived again by two files, side by side.
type twice struct {
	remembered
	now   config.File // in the asker's units
	then  *config.File
	twin  night.Twin
	zone  *time.Location
	days  []season.Begun // how each night's noon stood
	noons []time.Time    // of those
}

// change makes the second file. Faults of the values are by key.
func (t *twice) change(changed map[string]string, doc *wire.Preview) (map[string]string, error) {
	then, changes, err := t.now.With(changed)
	if faults, is := errors.AsType[config.Faults](err); is {
		return beside(faults), nil
	}
	if err != nil {
		return nil, err
	}
	t.then = then
	for _, c := range changes {
		doc.Changes = append(doc.Changes, wire.SettingChange{Key: c.Key, From: c.From, To: c.To})
	}
	return nil, nil
}

// tell lives the last nights twice and looks ahead by the second file.
func (t *twice) tell(ctx context.Context, p *previews, nights int, doc *wire.Preview) error {
	if place := missing(t.file.Loop()); place != "" {
		doc.Words = fmt.Sprintf("What this would have done is not known: there is no probe at the %s.", place)
		return nil
	}
	var err error
	if t.twin, doc.Twin, doc.FittedOn, err = t.chosen(); err != nil {
		return err
	}
	r, err := p.reader()
	if err != nil {
		return err
	}
	defer r.Close()
	if t.memory == nil {
		if t.memory, err = t.recalled(ctx, r, nights); err != nil {
			return err
		}
	}
	t.begin(ctx, r, nights, doc)
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := t.live(ctx, doc, &p.before); err != nil {
		return err
	}
	if doc.Tonight, err = t.ahead(); err != nil {
		return err
	}
	doc.Words = previewWords(doc, t.now.Site.Units)
	return nil
}

// recalled is the past of a loop that plans nothing and so remembers nothing, from its record.
func (t *twice) recalled(ctx context.Context, r *record.Reader, nights int) (*night.Memory, error) {
	settings, err := t.file.Settings()
	if err != nil {
		return nil, err
	}
	s, err := planner(t.file)
	if err != nil {
		return nil, err
	}
	memory, before := night.NewMemory(s.Skies), time.Time{}
	from := NoonBefore(t.at, t.zone).AddDate(0, 0, -nights-1)
	err = r.Each(ctx, from, t.at.Add(time.Millisecond), func(x record.Reading) error {
		if passed := x.At.Sub(before); passed > 0 && passed < time.Hour && x.Simulated == t.simulated {
			sample := sampleOf(&settings, &x, passed)
			memory.Add(&sample)
		}
		before = x.At
		return ctx.Err()
	})
	return memory, err
}

// begin finds how each of the last nights stood at its noon.
func (t *twice) begin(ctx context.Context, r *record.Reader, nights int, doc *wire.Preview) {
	noon, began := NoonBefore(t.at, t.zone), time.Time{}
	if e, some, err := r.Extent(ctx, time.Unix(0, 0), t.at.Add(time.Millisecond)); some && err == nil {
		began = e.First
	}
	for n := nights; n > 0; n-- {
		at := noon.AddDate(0, 0, -n)
		b, ok := first(ctx, r, at)
		switch {
		case !ok && at.Before(began):
			t.leave(doc, at, unbegunRecord+", on "+began.In(t.zone).Format("Mon 2 Jan at 15:04"))
		case !ok:
			t.leave(doc, at, unbegun)
		case !season.Covered(t.memory, b):
			t.leave(doc, at, halfSeen)
		default:
			t.days, t.noons = append(t.days, b), append(t.noons, at)
		}
	}
}

// Why a night is left out.
const (
	halfSeen      = "too little of the greenhouse's and the tunnel's air is recorded"
	unbegunRecord = "the record begins later" // and when
)

func (t *twice) leave(doc *wire.Preview, noon time.Time, why string) {
	doc.LeftOut = append(doc.LeftOut, wire.LeftOut{Night: noon.Format(time.DateOnly), Noon: noon.UTC(), Why: why})
}

// house is the twin's, planning only where the file does.
func (t *twice) house(f *config.File) (season.House, error) {
	h, err := twinHouse(f, &t.twin)
	if f.Loop().Carry.Spend != config.ByPlan {
		h.Night = night.Settings{}
	}
	return h, err
}

// again is what nights were when they were lived as the settings stand: who tries several
// changes waits for that once.
type again struct {
	file *config.File
	twin night.Twin
	days []season.Begun
	all  []season.Relived
}

// of says that it is of the same settings, greenhouse and nights.
func (a *again) of(t *twice) bool {
	return a.file == t.file && a.twin == t.twin && slices.Equal(a.days, t.days)
}

// live lives the nights again by both files.
func (t *twice) live(ctx context.Context, doc *wire.Preview, before *again) error {
	minimum := t.now.Loop().Crop.Minimum
	var then []season.Relived
	var g errgroup.Group
	relive := func(f *config.File, into *[]season.Relived) {
		g.Go(func() error {
			h, err := t.house(f)
			if err == nil {
				*into, err = season.Relive(h, t.memory, t.days, minimum, ctx.Err)
			}
			return err
		})
	}
	if relive(t.then, &then); !before.of(t) {
		*before = again{}
		relive(&t.now, &before.all)
	}
	if err := g.Wait(); err != nil {
		return err
	}
	before.file, before.twin, before.days = t.file, t.twin, t.days
	again, off := before.all, 0.0
	for i := range again {
		doc.Nights = append(doc.Nights, replayed(t.noons[i], &again[i], &then[i]))
		off += again[i].Off * again[i].Off / float64(len(again))
	}
	doc.MinimumC = optional(float64(minimum), true)
	doc.OffK = optional(math.Sqrt(off), len(again) > 0)
	return nil
}

// replayed is a night in the document, to a thousandth.
func replayed(noon time.Time, again, then *season.Relived) wire.PreviewNight {
	short := func(v float64) float64 { return *optional(v, true) }
	return wire.PreviewNight{
		Night: noon.Format(time.DateOnly), Noon: noon.UTC(), RecordedC: short(float64(again.Was)),
		AgainC: short(float64(again.Coldest)), ThenC: short(float64(then.Coldest)),
		AgainK2h: short(again.Squared), ThenK2h: short(then.Squared), AgainWh: short(again.Used), ThenWh: short(then.Used),
		AgainBelowS: again.Below.Seconds(), ThenBelowS: then.Below.Seconds(),
	}
}

// ahead is the outlook's sentence by the second file.
func (t *twice) ahead() (string, error) {
	if !t.stands {
		return "", nil
	}
	h, err := t.house(t.then)
	if err != nil {
		return "", err
	}
	a, err := season.Ahead(h, t.memory, t.standing)
	if err != nil {
		return "", err
	}
	a.Learned = nil // that is no news of the change
	if words := control.TonightWords(a, control.Barred{}, t.standing.At, t.then.Site.Units, t.zone); words != "" {
		return "Tonight, changed: " + words, nil
	}
	return "", nil
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
	if p.Element, err = p.Element.Scaled(quantity.Watt(t.Element)); err != nil {
		return h, fmt.Errorf("the greenhouse as it was learned: %w", err)
	}
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
