package season_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// watcher runs nothing and keeps every tenth minute.
type watcher struct{ seen []plant.State }

func (w *watcher) Duty(now plant.State, _ time.Duration) quantity.Share {
	if now.Time.Unix()%600 == 0 {
		w.seen = append(w.seen, now)
	}
	return 0
}

// The ways to foretell a night's minimum: at dusk last night's and the outlook; two hours
// on the square-root rule with the mean fall of the nights before, the book's regression
// on the air then, fitted to the nights before, and the outlook again.
const (
	lastNight = iota
	atDusk
	byRoot
	byRegression
	twoOn
	ways
)

// The bands: of Bands fed night by night at dusk, of the outlook's own at dusk and six
// hours on.
const (
	fed = iota
	remembered
	sixOn
	bandsTold
)

// told is what was said of one night, less what came.
type told struct {
	off    [ways]float64 // K; NaN where nothing could be said
	inside [bandsTold]bool
	width  [bandsTold]float64
}

// foreteller goes through a winter and foretells the minimum of the house's air, or of
// the tunnel's that is not heated.
type foreteller struct {
	tunnel  bool
	twin    night.Twin
	volts   quantity.Volt
	seen    []plant.State
	memory  night.Memory
	outlook *night.Outlook
	bands   night.Bands
	before  float64
	past    []night.Evening
	falls   float64 // summed over past
}

// of a state, the air whose minimum is foretold.
func (f *foreteller) of(k int) float64 {
	if f.tunnel {
		return float64(f.seen[k].Tunnel)
	}
	return float64(f.seen[k].Greenhouse)
}

// lowest that came in the slots from k up to end.
func (f *foreteller) lowest(k, end int) float64 {
	low := math.Inf(1)
	for i := k; i <= end; i++ {
		low = min(low, f.of(i))
	}
	return low
}

// noon by the sun at the places of these winters, 17:00 UTC or so, in slots of the day.
const noon = 102

// winter foretells every night of a winter.
func (f *foreteller) winter(t *testing.T) (all []told) {
	t.Helper()
	f.outlook, f.before = night.NewOutlook(&f.memory, noon), math.NaN()
	dusk, end := 0, 0
	for k, s := range f.seen {
		f.memory.Add(&night.Sample{
			Time: s.Time, Passed: 10 * time.Minute, Tank: float64(s.Tank), Air: float64(s.Tunnel), House: float64(s.Greenhouse),
			Bed: float64(s.Bed), Sun: float64(s.PanelVolts / f.volts),
		})
		if k < 2*144 || k+144 > len(f.seen) {
			continue
		}
		switch {
		case s.PanelVolts == 0 && f.seen[k-1].PanelVolts > 0:
			all = append(all, told{})
			dusk, end = k, k+f.dusk(t, k, &all[len(all)-1])
		case dusk > 0 && k == dusk+12:
			f.two(t, dusk, k, end, &all[len(all)-1])
		case dusk > 0 && k == dusk+36:
			f.six(t, k, end, &all[len(all)-1])
		}
	}
	return all
}

// ahead is the outlook to the morning, bent to its best minimum.
func (f *foreteller) ahead(t *testing.T, k int) night.Ahead {
	t.Helper()
	now := f.seen[k].Time.Unix() / 600
	a, ok := f.outlook.Ahead(now, 140)
	require.True(t, ok)
	n := f.outlook.Morning(now, &a)
	a = night.Ahead{House: a.House[:n], Sun: a.Sun[:n]}
	if m, ok := f.outlook.Minimum(now, n); ok {
		a.Bend(m, n)
	}
	return a
}

// minimum under an outlook from slot k on.
func (f *foreteller) minimum(k int, a night.Ahead) float64 {
	if !f.tunnel {
		return min(slices.Min(a.House), f.of(k))
	}
	s := f.seen[k]
	air, _ := f.twin.Coldest(night.Now{Tank: float64(s.Tank), Air: float64(s.Tunnel), Bed: float64(s.Bed)}, a)
	return air
}

// dusk foretells, and says how many slots the night has.
func (f *foreteller) dusk(t *testing.T, k int, n *told) int {
	t.Helper()
	a := f.ahead(t, k)
	length := len(a.House)
	said, truth := f.minimum(k, a), f.lowest(k, k+length)
	n.off[lastNight], n.off[atDusk] = f.before-truth, said-truth
	low, high := f.bands.Around(said)
	n.inside[fed], n.width[fed] = truth >= low && truth <= high, high-low
	f.bands.Add(said, truth)
	f.before = truth
	f.within(k, a, truth, n, remembered)
	return length
}

// within judges the outlook's own band, taken through the twin for a tunnel.
func (f *foreteller) within(k int, a night.Ahead, truth float64, n *told, band int) {
	b := f.outlook.Bands(f.seen[k].Time.Unix()/600, len(a.House))
	low, high := b.Around(slices.Min(a.House))
	edge := func(at float64) float64 {
		c := night.Ahead{House: slices.Clone(a.House), Sun: a.Sun}
		c.Bend(at, len(c.House))
		return f.minimum(k, c)
	}
	l, h := edge(low), edge(high)
	n.inside[band], n.width[band] = truth >= l && truth <= h, h-l
}

// two is what can be said two hours after sunset, k; the sun comes up nine slots before
// the night is over.
func (f *foreteller) two(t *testing.T, dusk, k, end int, n *told) {
	t.Helper()
	start, truth := f.of(k), f.lowest(k, end)
	n.off[byRoot], n.off[byRegression] = math.NaN(), math.NaN()
	if nights := float64(len(f.past)); nights > 0 {
		at, err := night.Cooling{Start: start, Fall: f.falls / nights}.At(float64(end-9-dusk) / 6)
		require.NoError(t, err)
		n.off[byRoot] = at - truth
	}
	if r, err := night.Regress(f.past); err == nil {
		n.off[byRegression] = r.Minimum(night.Evening{Air: start}) - truth
	}
	n.off[twoOn] = f.minimum(k, f.ahead(t, k)) - truth
	f.past = append(f.past, night.Evening{Air: start, Dew: night.Absent(), Minimum: truth})
	fall := night.NewFalling(start)
	for i := k + 1; i <= end-9; i++ {
		require.NoError(t, fall.Add(float64(i-dusk)/6, f.of(i)))
	}
	c, err := fall.Cooling()
	require.NoError(t, err)
	f.falls += c.Fall
}

// six judges the band six hours after sunset.
func (f *foreteller) six(t *testing.T, k, end int, n *told) {
	t.Helper()
	f.within(k, f.ahead(t, k), f.lowest(k, end), n, sixOn)
}
