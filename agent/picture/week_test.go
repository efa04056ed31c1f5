package picture

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// week is so many nights, each a kelvin colder than the one before; of the last nothing is
// known where it is asked for.
func week(t *testing.T, n int, u quantity.Units, silentLast bool) *Week {
	t.Helper()
	k := &Week{Place: "Alder Hollow", Loop: "bench", Units: u, Simulated: n%2 == 0}
	noon := time.Date(2026, 1, 15, 12, 0, 0, 0, time.FixedZone("UTC-5", -5*3600))
	for i := range n {
		f, err := NewFrame(noon.AddDate(0, 0, i), noon.AddDate(0, 0, i+1))
		require.NoError(t, err)
		w := WeekNight{
			Frame: f, Name: f.From.Format("Mon 2 Jan"), Minimum: 5 + float64(i/4), Tunnel: NewTrace(f, "tunnel"), Pump: NewLane(f, "pump", ""), Silent: NewLane(f, "no record", ""),
			Says:     []string{fmt.Sprintf("Coldest %d °C, and what else there is to say of it in a sentence that is longer than the picture is wide, so that it is broken.", i)},
			Foretold: &Point{At: f.From.Add(17 * time.Hour), V: 4}, Dark: []Night{{f.From.Add(5 * time.Hour), f.From.Add(19 * time.Hour)}},
		}
		for at := f.From; !at.After(f.To) && !(silentLast && i == n-1); at = at.Add(time.Minute) {
			w.Tunnel.Add(at, swing(at, 12-float64(i), 9), 0)
			if at.Minute() < 5 {
				w.Pump.Hold(at, at.Add(time.Minute))
			}
		}
		if silentLast && i == n-1 {
			w.Silent.Hold(f.From, f.To)
		}
		k.Nights = append(k.Nights, w)
	}
	return k
}

// One to seven nights: nothing sticks out, no words stand on others, one scale for all.
func TestNightsOfAWeekFit(t *testing.T) {
	t.Parallel()
	for _, u := range []quantity.Units{quantity.SI, quantity.US} {
		for n := 1; n <= 7; n++ {
			e := readBack(t, week(t, n, u, n > 3))
			tidy(t, e)
			panels := e.Classes("week-night air-panel")
			require.Len(t, panels, n)
			for _, p := range panels {
				assert.Equal(t, panels[0].Class("scale").Words(), p.Class("scale").Words())
			}
			assert.Equal(t, n%2 == 0, bytes.Contains([]byte(e.Words()), []byte("simulated")))
		}
	}
}

// The mark of the coldest stands at the least of the air, that of the expected where it was
// foretold; air above the scale is left out and not bent.
func TestNightsOfAWeekAreReadBack(t *testing.T) {
	t.Parallel()
	k := week(t, 3, quantity.SI, false)
	e := readBack(t, k)
	for i, p := range e.Classes("week-night air-panel") {
		value := valueAt(t, p)
		box := path(t, p.Class("coldest"))[0]
		middle := (box[0].Y + box[2].Y) / 2
		assert.InDelta(t, k.Nights[i].Tunnel.least.V, value(middle), 0.05)
		x := (box[0].X - left) / (weekRight - left) * 24
		assert.InDelta(t, k.Nights[i].Tunnel.least.At.Sub(k.Nights[i].From).Hours(), x, 0.05)
		square := path(t, p.Class("expected"))[0]
		assert.InDelta(t, 4, value((square[0].Y+square[2].Y)/2), 0.05)
		runs := path(t, p.Class("tunnel"))
		require.NotEmpty(t, runs)
		top := path(t, p.Class("values"))
		highest := top[len(top)-1][0].Y
		for _, run := range runs {
			for _, at := range run {
				hours := (at.X - left) / (weekRight - left) * 24
				want := swing(k.Nights[i].From.Add(time.Duration(hours*float64(time.Hour))), 12-float64(i), 9)
				assert.InDelta(t, want, value(at.Y), 0.15)
				assert.GreaterOrEqual(t, at.Y, highest-0.01)
			}
		}
		lowest := 99.0
		for _, run := range path(t, p.Class("cold")) {
			for _, at := range run {
				lowest = min(lowest, value(at.Y))
			}
		}
		assert.InDelta(t, k.Nights[i].Tunnel.least.V, lowest, 0.05)
	}
	words := readBack(t, week(t, 7, quantity.SI, true)).Words()
	assert.Contains(t, words, "crop minimum 5 °C, later 6 °C")
	assert.Contains(t, words, "no record")
	assert.NotContains(t, e.Words(), "no record")
}

func TestNoNightsNoPicture(t *testing.T) {
	t.Parallel()
	require.ErrorIs(t, (&Week{}).Write(&bytes.Buffer{}), ErrNothing)
	require.ErrorIs(t, week(t, 1, quantity.SI, true).Write(&bytes.Buffer{}), ErrNothing)
}
