package agent

import (
	"context"
	"math"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/nightly"
	"duskloop/agent/picture"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// truth is what the plant's own meters say of a night, noon to noon; bare is the cold of the
// same plant, as it stood at that noon and under the same sky, at rest.
type truth struct {
	coldest, squared, heat, battery, bare, dark float64 // °C, K²h, Wh, Wh, K²h; of heat from dusk to dawn, Wh
}

// remembering is a sky that remembers what it was.
type remembering struct {
	weather.Source
	was map[time.Time]weather.Sample
}

func (r remembering) At(t time.Time) weather.Sample {
	x := r.Source.At(t)
	r.was[t] = x
	return x
}

// atRest lives a day of a plant again, without pump or fans, and says its cold.
func atRest(t testing.TB, f *config.File, from plant.State, sky remembering) (squared float64) {
	t.Helper()
	p, err := plant.New(plantParams(f), from.Time, from)
	require.NoError(t, err)
	for end := from.Time.Add(24 * time.Hour); p.Clock().Before(end); {
		p.Step(longest, plant.Act{ElementConnected: true}, sky.was[p.Clock().Add(longest/2)])
		squared += math.Pow(max(0, float64(f.Loop().Crop.Minimum-p.Now().Tunnel)), 2) * longest.Hours()
	}
	return squared
}

// livedWeek is a file's loop for some days from an evening on, into a record on a disk, with
// the truth of every whole night by its date. keep says what of it is recorded; nil: all.
func livedWeek(t testing.TB, f *config.File, days int, keep func(*record.Reading) bool) (path string, was map[string]truth) {
	t.Helper()
	f.Daemon.Period = quantity.Span(time.Minute)
	f.Loop().Carry.Spend = config.ByPlan
	start := time.Date(2026, 1, 7, 22, 20, 0, 0, time.UTC)
	state := plant.Dusk()
	state.Tunnel, state.Bed = 12, 12
	g, err := NewGreenhouse(f, start, state, 4)
	require.NoError(t, err)
	sky := remembering{g.sky, make(map[time.Time]weather.Sample)}
	g.sky = sky
	path = filepath.Join(t.TempDir(), RecordName)
	rec, err := record.Open(path, record.DefaultOptions())
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	was = make(map[string]truth)
	var now truth
	var noon time.Time
	var then plant.Meters
	var stood plant.State
	var dark []picture.Night
	var before float64
	l, err := NewLoop(Setup{
		File: f, Clock: &leapClock{now: start}, Sight: g, Hands: g, Record: keeping{rec, keep}, Log: quiet(), Simulated: true, Trusted: func() bool { return true },
		After: func(c Cycle) {
			if next := NoonBefore(c.At, SunZone(f)); !next.Equal(noon) {
				m := g.plant.Meters()
				now.heat, now.battery = float64(m.HeatToTunnel-then.HeatToTunnel), float64(m.BatteryUsed-then.BatteryUsed)
				if !noon.IsZero() && !stood.Time.Before(noon) {
					now.bare = atRest(t, f, stood, sky)
				}
				was[noon.Format(time.DateOnly)] = now
				noon, then, now, stood, dark = next, m, truth{coldest: 99}, g.plant.Now(), nights(f, next, next.AddDate(0, 0, 1))
			}
			heat := float64(g.plant.Meters().HeatToTunnel)
			for _, n := range dark {
				if !n.Set.Before(noon) && c.At.After(n.Set) && c.At.Before(n.Rise) {
					now.dark += heat - before
				}
			}
			before = heat
			air := float64(g.plant.Now().Tunnel)
			now.coldest = min(now.coldest, air)
			now.squared += math.Pow(max(0, float64(f.Loop().Crop.Minimum)-air), 2) / 60
			if c.At.Sub(start) >= time.Duration(days)*24*time.Hour {
				cancel()
			}
		},
	})
	require.NoError(t, err)
	require.NoError(t, l.Run(ctx))
	require.NoError(t, rec.Close())
	return path, was
}

// keeping is a record that loses readings.
type keeping struct {
	*record.Record
	keep func(*record.Reading) bool
}

func (k keeping) Append(r *record.Reading, events ...record.Event) {
	if r != nil && k.keep != nil && !k.keep(r) {
		r = nil
	}
	k.Record.Append(r, events...)
}

// tellNights of a record: the last so many before a time of it.
func tellNights(t *testing.T, f *config.File, path string, count int, change func(*ToldNights)) []nightly.Night {
	t.Helper()
	r, err := record.OpenReadOnly(path)
	require.NoError(t, err)
	defer r.Close()
	e, some, err := r.Extent(t.Context(), time.Unix(0, 0), time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC))
	require.NoError(t, err)
	require.True(t, some)
	n := &ToldNights{File: f, Loop: e.Loop, Past: r, Zone: SunZone(f), Now: e.Last.Add(e.Period), Usual: e.Period}
	if change != nil {
		change(n)
	}
	all, err := n.Tell(t.Context(), NoonBefore(e.Last, n.Zone).AddDate(0, 0, 1-count), count)
	require.NoError(t, err)
	require.Len(t, all, count)
	return all
}

// A simulated week through the daemon's own loop: every figure of the record beside the
// plant's own meters, and what would have come without heat beside the same week really lived
// without it.
func TestNightsBesideThePlantsMeters(t *testing.T) {
	t.Parallel()
	days := 9
	if raced {
		days = 4
	}
	path, ran := livedWeek(t, lumpedFile(t, "large"), days, nil)
	all := tellNights(t, lumpedFile(t, "large"), path, days+1, nil)
	learned := 0
	var avoided, wanted float64
	for _, n := range all[1 : len(all)-1] {
		was := ran[n.Date]
		t.Logf("%s: coldest %.2f, truly %.2f °C; %.1f, %.1f K²h; heat less gathered %.0f, %.0f Wh; from dusk to dawn %.0f, %.0f Wh; battery %.0f, %.0f Wh; without heat %.1f K²h (%s), really %.1f; as it ran %.1f, off %.2f K",
			n.Date, *n.ColdestC, was.coldest, *n.Squared, was.squared, *n.HeatWh-*n.GatheredWh, was.heat, *n.TankGaveWh, was.dark, *n.BatteryWh, was.battery, n.Twin.Squared, n.Twin.By, was.bare, n.Twin.SquaredAsItRan, n.Twin.OffK)
		assert.True(t, n.Whole())
		assert.Empty(t, n.TwinSilent)
		assert.InDelta(t, was.coldest, *n.ColdestC, 0.5, "%s: a probe's error", n.Date)
		assert.InDelta(t, was.squared, *n.Squared, 0.1*was.squared+2, n.Date)
		assert.InDelta(t, was.heat, *n.HeatWh-*n.GatheredWh, 0.12*(*n.HeatWh+*n.GatheredWh)+5, "%s: the coil is learned to a tenth", n.Date)
		assert.InDelta(t, was.battery, *n.BatteryWh, 0.03*was.battery+1, n.Date)
		assert.InDelta(t, was.dark, *n.TankGaveWh, 0.05*was.dark+15, n.Date)
		require.NotNil(t, n.Expected)
		assert.Equal(t, "plan", n.Expected.Way)
		assert.Less(t, n.Expected.ToldAt.Sub(*n.Dusk).Abs(), 31*time.Minute, "told once an hour")
		assert.InDelta(t, was.bare, n.Twin.Squared, 0.1*was.bare+3, n.Date)
		if n.Twin.By == "record" {
			learned++
		}
		avoided, wanted = avoided+n.Twin.Avoided, wanted+was.bare-was.squared
	}
	t.Logf("avoided %.0f K²h, really %.0f", avoided, wanted)
	assert.InEpsilon(t, wanted, avoided, 0.1)
	assert.Positive(t, learned)
	first, last := all[0], all[len(all)-1]
	assert.False(t, first.Whole(), "it began in the evening")
	assert.Nil(t, first.Twin)
	assert.Equal(t, tooLittle, first.TwinSilent)
	assert.Len(t, first.Gaps, 1)
	assert.True(t, last.Running)
}

// Two hours of a night are missing: it is still told whole, with the gap, and the twin's cold
// is of the same hours; six hours, and it is not.
func TestNightsWithGaps(t *testing.T) {
	t.Parallel()
	f := lumpedFile(t, "large")
	zone := SunZone(f)
	between := func(day, from, to int) func(*record.Reading) bool {
		begin, end := time.Date(2026, 1, day, from, 0, 0, 0, zone), time.Date(2026, 1, day, to, 0, 0, 0, zone)
		return func(x *record.Reading) bool { return x.At.Before(begin) || !x.At.Before(end) }
	}
	short, long := between(10, 2, 4), between(11, 1, 7)
	path, _ := livedWeek(t, f, 5, func(x *record.Reading) bool { return short(x) && long(x) })
	all := tellNights(t, lumpedFile(t, "large"), path, 6, nil)
	two, six, whole := all[2], all[3], all[1]
	require.Equal(t, "2026-01-09", two.Date)
	require.Len(t, two.Gaps, 1)
	assert.Equal(t, time.Date(2026, 1, 10, 2, 0, 0, 0, zone).UTC(), two.Gaps[0].From)
	assert.Equal(t, time.Date(2026, 1, 10, 4, 0, 0, 0, zone).UTC(), two.Gaps[0].To)
	assert.InDelta(t, 100*22.0/24, two.RecordedPct, 0.1)
	require.NotNil(t, two.Twin, two.TwinSilent)
	assert.InDelta(t, 75, six.RecordedPct, 0.1)
	assert.Nil(t, six.Twin)
	assert.Equal(t, tooLittle, six.TwinSilent)
	assert.NotNil(t, whole.Twin)
	all = tellNights(t, lumpedFile(t, "large"), path, 6, func(n *ToldNights) { n.Now = n.Now.AddDate(0, 0, -1).Add(-6 * time.Hour) })
	assert.True(t, all[4].Running)
}

// Without a probe in the greenhouse there is no twin, and that is said; without one in the bed
// the bed is followed, and there is.
func TestNightsWithoutProbes(t *testing.T) {
	t.Parallel()
	f := lumpedFile(t, "large")
	path, _ := livedWeek(t, f, 3, nil)
	bare := lumpedFile(t, "large")
	bare.Loop().Probes[control.Greenhouse].ID = ""
	for _, n := range tellNights(t, bare, path, 3, nil) {
		assert.Nil(t, n.Twin)
		assert.Equal(t, "no probe at the greenhouse", n.TwinSilent)
		assert.NotNil(t, n.ColdestC, "the rest is told")
	}
	blind := lumpedFile(t, "large")
	blind.Loop().Probes[control.Bed].ID = ""
	withBed, without := tellNights(t, lumpedFile(t, "large"), path, 3, nil)[1], tellNights(t, blind, path, 3, nil)[1]
	require.NotNil(t, without.Twin)
	assert.InDelta(t, withBed.Twin.ColdestC, without.Twin.ColdestC, 1)
}
