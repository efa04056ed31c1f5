package season_test

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

// watcher runs nothing and keeps every tenth minute.
type watcher struct{ seen []plant.State }

func (w *watcher) Duty(now plant.State, _ time.Duration) quantity.Share {
	if now.Time.Unix()%600 == 0 {
		w.seen = append(w.seen, now)
	}
	return 0
}

// nightly is one night: what was said of its minimum and what came, °C.
type nightly struct {
	truth, said, before float64    // at dusk, and last night's
	low, high           float64    // the band
	later               [4]float64 // two hours after: truth, outlook, root, regression
}

// place is whose minimum is foretold.
type spot struct {
	name string
	of   func(*plant.State) float64
}

// foreteller goes through a winter and foretells at every dusk.
type foreteller struct {
	spot    spot
	twin    night.Twin
	volts   quantity.Volt
	seen    []plant.State
	memory  night.Memory
	outlook *night.Outlook
	bands   night.Bands
	past    []night.Evening
	falling []float64 // one fall per night before
	plain   bool
}

const slot = 10 * time.Minute

// remember takes one slot in, and says the slot of all time that follows.
func (f *foreteller) remember(k int) int64 {
	s := f.seen[k]
	f.memory.Add(&night.Sample{
		Time: s.Time, Passed: slot, Tank: float64(s.Tank), Air: float64(s.Tunnel), House: float64(s.Greenhouse),
		Bed: float64(s.Bed), Sun: float64(s.PanelVolts / f.volts),
	})
	return s.Time.Unix() / 600
}

// minimum that is foretold at a slot for the n that follow.
func (f *foreteller) minimum(k int, a night.Ahead) float64 {
	if f.spot.name == "house" {
		return min(slices.Min(a.House), f.spot.of(&f.seen[k]))
	}
	s := f.seen[k]
	air, _ := f.twin.Coldest(night.Now{Tank: float64(s.Tank), Air: float64(s.Tunnel), Bed: float64(s.Bed)}, a)
	return air
}

// ahead is the outlook to the morning.
func (f *foreteller) ahead(now int64) (night.Ahead, bool) {
	a, ok := f.outlook.Ahead(now, 140)
	if !ok {
		return a, false
	}
	n := f.outlook.Morning(now, &a)
	if m, ok := f.outlook.Minimum(now, n); ok && !f.plain {
		a.Bend(m, n)
	}
	return night.Ahead{House: a.House[:n], Sun: a.Sun[:n]}, true
}

// lowest that came in n slots from k on.
func (f *foreteller) lowest(k, n int) float64 {
	low := math.Inf(1)
	for i := k; i <= min(k+n, len(f.seen)-1); i++ {
		low = min(low, f.spot.of(&f.seen[i]))
	}
	return low
}

// winterOf foretells every night of a winter.
func (f *foreteller) winter(t *testing.T) []nightly {
	t.Helper()
	f.outlook = night.NewOutlook(&f.memory, nil)
	var all []nightly
	before := math.NaN()
	for k := range f.seen {
		now := f.remember(k)
		if k < 2*144 || k+200 > len(f.seen) || !(f.seen[k].PanelVolts == 0 && f.seen[k-1].PanelVolts > 0) {
			continue
		}
		a, ok := f.ahead(now)
		require.True(t, ok)
		length := len(a.House)
		n := nightly{truth: f.lowest(k, length), said: f.minimum(k, a), before: before}
		n.low, n.high = f.bands.Around(n.said)
		n.later = f.after(t, k, length)
		f.bands.Add(n.said, n.truth)
		before = n.truth
		all = append(all, n)
	}
	return all
}

// after is what can be said two hours after sunset of a night of so many slots.
func (f *foreteller) after(t *testing.T, k, length int) [4]float64 {
	t.Helper()
	const later = 12
	hours := float64(length-9) / 6 // the sun comes up nine slots before a night is over
	start := f.spot.of(&f.seen[k+later])
	truth := f.lowest(k+later, length-later)
	root, line := math.NaN(), math.NaN()
	if len(f.falling) > 0 {
		sum := 0.0
		for _, x := range f.falling {
			sum += x
		}
		c := night.Cooling{Start: start, Fall: sum / float64(len(f.falling))}
		var err error
		root, err = c.At(hours)
		require.NoError(t, err)
	}
	if r, err := night.Regress(f.past); err == nil {
		line = r.Minimum(night.Evening{Air: start})
	}
	f.past = append(f.past, night.Evening{Air: start, Dew: night.Absent(), Minimum: truth})
	fall := night.NewFalling(start)
	for i := later + 1; i <= length-9; i++ {
		require.NoError(t, fall.Add(float64(i)/6, f.spot.of(&f.seen[k+i])))
	}
	c, err := fall.Cooling()
	require.NoError(t, err)
	f.falling = append(f.falling, c.Fall)
	return [4]float64{truth, f.saidLater(k + later), root, line}
}

// saidLater is what the outlook says two hours on, by a foreteller that has seen them.
func (f *foreteller) saidLater(k int) float64 {
	g := foreteller{spot: f.spot, twin: f.twin, volts: f.volts, seen: f.seen, memory: f.memory, plain: f.plain}
	g.outlook = night.NewOutlook(&g.memory, nil)
	var now int64
	for i := k - 11; i <= k; i++ {
		now = g.remember(i)
	}
	a, ok := g.ahead(now)
	if !ok {
		return math.NaN()
	}
	return g.minimum(k, a)
}

func rmse(of []nightly, off func(*nightly) float64) float64 {
	sum, n := 0.0, 0.0
	for i := range of {
		if e := off(&of[i]); !math.IsNaN(e) {
			sum, n = sum+e*e, n+1
		}
	}
	return math.Sqrt(sum / n)
}

func TestOutlookOfTheNightsMinimum(t *testing.T) {
	t.Parallel()
	skies := map[string]func(weather.Sky) weather.Source{}
	real, span, isReal := realOrInvented(t)
	if isReal {
		skies["real"] = real
	}
	for _, seed := range []uint64{11, 12} {
		skies[fmt.Sprintf("invented %d", seed)] = func(s weather.Sky) weather.Source { return weather.New(weather.AlderHollow(), s, seed) }
	}
	h := study("LARGE")
	twin, volts, err := season.TwinOf(h.Plant)
	require.NoError(t, err)
	for name, sky := range skies {
		var w watcher
		_, _, err := season.Fly(h, span, sky, &w)
		require.NoError(t, err)
		for _, spot := range []spot{
			{"house", func(s *plant.State) float64 { return float64(s.Greenhouse) }},
			{"tunnel", func(s *plant.State) float64 { return float64(s.Tunnel) }},
		} {
			f := foreteller{spot: spot, twin: twin, volts: volts, seen: w.seen}
			all := f.winter(t)
			inside, width := 0, 0.0
			for _, n := range all {
				if n.truth >= n.low && n.truth <= n.high {
					inside++
				}
				width += (n.high - n.low) / float64(len(all))
			}
			for half, part := range [][]nightly{all[:len(all)/2], all[len(all)/2:]} {
				t.Logf("%s %s half %d, %d nights: at dusk last night's %.2f, outlook %.2f; two hours on root %.2f, regression %.2f, outlook %.2f; bias %.2f",
					name, spot.name, half+1, len(part),
					rmse(part, func(n *nightly) float64 { return n.before - n.truth }),
					rmse(part, func(n *nightly) float64 { return n.said - n.truth }),
					rmse(part, func(n *nightly) float64 { return n.later[2] - n.later[0] }),
					rmse(part, func(n *nightly) float64 { return n.later[3] - n.later[0] }),
					rmse(part, func(n *nightly) float64 { return n.later[1] - n.later[0] }), bias(part))
			}
			t.Logf("%s %s: %d of %d in a band of %.1f K", name, spot.name, inside, len(all), width)
			assert.Greater(t, inside, 0)
		}
	}
}

func bias(of []nightly) float64 {
	sum := 0.0
	for _, n := range of {
		sum += (n.said - n.truth) / float64(len(of))
	}
	return sum
}
