package picture

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/agent/internal/svgtest"
	"duskloop/sensors/quantity"
)

// given is what a trace was told, to look up what was drawn.
type given struct {
	at  time.Time
	v   float64
	gap bool
}

// walk tells a trace a random walk with random gaps.
func walk(t *rapid.T, f Frame, tr *Trace) []given {
	step := f.length() / time.Duration(rapid.IntRange(2, 4000).Draw(t, "values"))
	gappy := rapid.IntRange(0, 300).Draw(t, "gaps in a thousand")
	seed := rapid.Uint64().Draw(t, "seed")
	var all []given
	v := 10.0
	gap := true
	for at := f.From; !at.After(f.To); at = at.Add(step) {
		seed = seed*6364136223846793005 + 1442695040888963407 // Knuth's MMIX constants
		if int(seed>>33%1000) < gappy {
			tr.Break()
			gap = true
			continue
		}
		v += (float64(seed>>40)/float64(1<<24) - 0.5) * 2
		tr.Add(at, v, 0)
		all = append(all, given{at, v, gap})
		gap = false
	}
	return all
}

// Every point drawn is one that was given, read back through the numbers and hours
// at the picture's edges; the coldest and the warmest are among them; and no line
// goes over a gap.
func TestPointsDrawnAreThoseGiven(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := winter(t, rapid.Float64Range(2, 240).Draw(t, "hours"))
		tr := NewTrace(f, "tunnel")
		all := walk(t, f, tr)
		if len(all) == 0 {
			return
		}
		units := rapid.SampledFrom([]quantity.Units{quantity.SI, quantity.US}).Draw(t, "units")
		s := &Sheet{Frame: f, Loop: "bench", Units: units, Air: []*Trace{tr}}
		e := drawnBack(t, s)
		value := valueAt(t, e.Class("air-panel"))
		var runs [][]svgtest.Point
		for _, x := range append(e.Classes("tunnel"), e.Classes("tunnel dots")...) {
			runs = append(runs, path(t, x)...)
		}
		checkRuns(t, s, all, runs, value)
	})
}

// checkRuns looks every point of every run up in what was given.
func checkRuns(t *rapid.T, s *Sheet, all []given, runs [][]svgtest.Point, value func(float64) float64) {
	t.Helper()
	perUnit := float64(s.length()) / (right - left)
	coldest, warmest := math.Inf(1), math.Inf(-1)
	for _, run := range runs {
		last := -1
		for _, p := range run {
			at := s.From.Add(time.Duration((p.X - left) * perUnit))
			i := find(t, s, all, at, value(p.Y), time.Duration(0.011*perUnit))
			for k := last + 1; last >= 0 && k <= i; k++ {
				require.False(t, all[k].gap, "a line from %v to %v goes over a gap", all[last].at, all[i].at)
			}
			last = i
			coldest, warmest = min(coldest, all[i].v), max(warmest, all[i].v)
		}
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, g := range all {
		low, high = min(low, g.v), max(high, g.v)
	}
	require.Equal(t, low, coldest, "coldest")
	require.Equal(t, high, warmest, "warmest")
}

func find(t *rapid.T, s *Sheet, all []given, at time.Time, v float64, within time.Duration) int {
	t.Helper()
	best, off := -1, math.Inf(1)
	for i, g := range all {
		if d := g.at.Sub(at).Abs(); d <= within+time.Second {
			if x := math.Abs(s.degrees(g.v) - v); x < off {
				best, off = i, x
			}
		}
	}
	require.GreaterOrEqual(t, best, 0, "nothing was given at %v", at)
	require.Less(t, off, 0.02, "at %v", at) // a hundredth of a unit is at most 0.01 degrees here
	return best
}

// The scale of time is the labels' own: a point given at a full hour stands where
// the axis says that hour is.
func TestTimesStandAtTheirLabels(t *testing.T) {
	t.Parallel()
	f := winter(t, 30)
	tr := NewTrace(f, "tunnel")
	for at := f.From; !at.After(f.To); at = at.Add(7 * time.Minute) {
		tr.Break()
		tr.Add(at, 10, 0)
	}
	e := drawnBack(t, &Sheet{Frame: f, Loop: "bench", Air: []*Trace{tr}})
	when := timeAt(t, e, 2026, f.From.Location())
	perUnit := float64(f.length()) / (right - left)
	for i, run := range path(t, e.Class("tunnel dots")) {
		want := f.From.Add(time.Duration(i) * 7 * time.Minute)
		assert.WithinDuration(t, want, when(run[0].X), time.Duration(0.006*perUnit))
	}
}

// By days every bar ends at the day's coldest and warmest.
func TestBarsAreEachDaysExtremes(t *testing.T) {
	t.Parallel()
	f := winter(t, 24*60)
	tr := NewTrace(f, "tunnel")
	low, high := map[string]float64{}, map[string]float64{}
	for at := f.From; !at.After(f.To); at = at.Add(10 * time.Minute) {
		if d := at.Day(); d > 9 && d < 13 {
			continue // nothing known: no bar either
		}
		v := swing(at, 12, 8) + math.Sin(float64(at.Unix())/2e5)
		tr.Add(at, v, 0)
		day := at.Format(time.DateOnly)
		if _, is := low[day]; !is {
			low[day], high[day] = v, v
		}
		low[day], high[day] = min(low[day], v), max(high[day], v)
	}
	e := drawnBack(t, &Sheet{Frame: f, Loop: "bench", Air: []*Trace{tr}})
	value := valueAt(t, e.Class("tunnel-panel"))
	bars := path(t, e.Class("tunnel"))
	require.Len(t, bars, len(low))
	perUnit := float64(f.length()) / (right - left)
	for _, b := range bars {
		day := f.From.Add(time.Duration((b[0].X + b[1].X) / 2 * perUnit)).Add(-time.Duration(left * perUnit)).Format(time.DateOnly)
		assert.InDelta(t, high[day], value(b[0].Y), 0.02, day)
		assert.InDelta(t, low[day], value(b[2].Y), 0.02, day)
	}
}
