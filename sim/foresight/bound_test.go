package foresight_test

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/foresight"
)

// Of ten minutes every schedule of full duty or none can be tried.
func TestBoundHoldsForEverySchedule(t *testing.T) {
	t.Parallel()
	const minutes = 10
	tried := 0
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 21))
		_, w := anyWinter(t, r, day, foresight.FixedSpeed{})
		start := foresight.State{Tank: 60 * r.Float64(), Air: 6 * r.Float64(), Bed: 8 * r.Float64(), House: 10*r.Float64() - 5, Battery: 1e3 * r.Float64()}
		from := r.IntN(day - minutes)
		part, err := w.Part(from, from+minutes, start)
		require.NoError(t, err)
		bound, err := part.Bound()
		require.NoError(t, err)
		least := math.Inf(1)
		schedule := make([]float64, minutes)
		for k := range 1 << minutes {
			for i := range schedule {
				schedule[i] = float64(k >> i & 1)
			}
			least = min(least, part.Simulate(schedule).Squared)
		}
		t.Logf("%d: least of all %.5f K²h, bound %.5f", seed, least, bound)
		assert.LessOrEqual(t, bound, least+1e-12)
		if least > 0.01 {
			assert.Greater(t, bound, 0.3*least, "a bound that says nothing")
			tried++
		}
	}
	assert.Greater(t, tried, 20)
}

// The coldest four nights of a season, each from the state that the season's best
// schedule leaves at 17:00, to 9:00, with any schedule in between: how far is the best
// found from what nothing can go below?
func TestColdestNightsNearTheirBound(t *testing.T) {
	t.Parallel()
	const from, length = 17 * 60, 16 * 60
	for _, s := range stands() {
		w, sky, real := s.season(t)
		states := make([]foresight.State, w.Minutes())
		best := w.Improve(thermostat(w, 3), steps(200)).Pulsed
		w.Follow(best.Duty, func(i int, x foresight.State) { states[i] = x })
		nights := make([]int, w.Minutes()/day-1)
		for d := range nights {
			nights[d] = d*day + from
		}
		mean := func(a int) float64 {
			sum := 0.0
			for _, v := range sky.Outdoors[a : a+length] {
				sum += v / length
			}
			return sum
		}
		sort.Slice(nights, func(i, j int) bool { return mean(nights[i]) < mean(nights[j]) })
		var pulsed, bound float64
		for _, a := range nights[:min(4, len(nights))] {
			part, err := w.Part(a, a+length, states[a-1])
			require.NoError(t, err)
			found := part.Improve(best.Duty[a:a+length], steps(foresight.Steps))
			began := time.Now()
			least, err := part.Bound()
			require.NoError(t, err)
			t.Logf("%s, night of day %d, %.1f °C outdoors: pulsed %.2f K²h, relaxed %.2f, bound %.2f (gap %.1f %%), in %v", s.name, a/day,
				mean(a), found.Pulsed.Score.Squared, found.Relaxed.Score.Squared, least, 100*(1-least/found.Pulsed.Score.Squared), time.Since(began))
			assert.LessOrEqual(t, least, found.Relaxed.Score.Squared)
			pulsed, bound = pulsed+found.Pulsed.Score.Squared, bound+least
		}
		t.Logf("%s: together %.1f K²h, bound %.1f, gap %.1f %%", s.name, pulsed, bound, 100*(1-bound/pulsed))
		if real {
			assert.LessOrEqual(t, 1-bound/pulsed, 0.2)
		}
	}
}
