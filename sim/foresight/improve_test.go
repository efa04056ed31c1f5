package foresight_test

import (
	"flag"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/foresight"
)

// plants is how many random ones to try; "-plants 50" is for a change of the search.
var plants = flag.Int("plants", 5, "random plants in the foresight test")

// obeys holds a pulsed schedule to its rules: runs of three minutes, but for one that
// the winter ends, and a battery that is above its floor after each of their minutes.
func obeys(t *testing.T, w *foresight.Winter, p foresight.Plant, found foresight.Found) {
	t.Helper()
	run, short, cut := 0, 0, 0
	again := w.Follow(found.Duty, func(i int, s foresight.State) {
		if found.Duty[i] > 0 {
			run++
			if s.Battery < p.Battery.Floor-1e-9-p.Battery.Base/60 {
				cut++
			}
			return
		}
		if run > 0 && run < 3 {
			short++
		}
		run = 0
	})
	assert.Zero(t, short, "runs shorter than three minutes")
	assert.Zero(t, cut, "minutes that the battery could not pay for")
	assert.Equal(t, found.Score, again)
}

// The study's relaxed optimum removed 42.7, 35.4 and 8.4 % of the squared degree-hours
// on the real year; the brief wants 41, 31.5 and 7.5 % in pulses. The pulses of LARGE are
// run once more by the fine integration, which shares no line with the search.
func TestSeasonForeseen(t *testing.T) {
	t.Parallel()
	least := map[string]float64{"LARGE": 0.41, "BOX": 0.315, "SMALL": 0.075}
	for _, s := range stands() {
		t.Run(s.name, func(t *testing.T) {
			t.Parallel()
			w, sky, real := s.season(t)
			off := w.Simulate(make([]float64, w.Minutes())).Squared
			start := thermostat(w, 3)
			before, began := w.Simulate(start).Squared, time.Now()
			r := w.Improve(start, steps(foresight.Steps))
			pulsed, relaxed := 1-r.Pulsed.Score.Squared/off, 1-r.Relaxed.Score.Squared/off
			t.Logf("%s: off %.0f K²h; removed by the thermostat %.2f %%, pulsed %.2f %%, relaxed %.2f %%; %.1f kWh, %.1f starts a day; %v",
				s.name, off, 100*(1-before/off), 100*pulsed, 100*relaxed, r.Pulsed.Score.Drawn/1000, float64(r.Pulsed.Score.Starts*day)/float64(w.Minutes()), time.Since(began))
			assert.LessOrEqual(t, r.Pulsed.Score.Squared, before)
			assert.LessOrEqual(t, r.Relaxed.Score.Squared, r.Pulsed.Score.Squared)
			obeys(t, w, s.plant, r.Pulsed)
			if real {
				assert.GreaterOrEqual(t, pulsed, least[s.name])
			} else {
				assert.Greater(t, pulsed, 1-before/off)
			}
			if s.name == "LARGE" {
				s.plant.Start.House = sky.Outdoors[0]
				finely := (&fine{p: s.plant, x: s.plant.Start, step: 1}).squared(r.Pulsed.Duty, &sky)
				t.Logf("finely integrated: %.0f K²h for %.0f", finely, r.Pulsed.Score.Squared)
				assert.InEpsilon(t, finely, r.Pulsed.Score.Squared, 0.005)
			}
		})
	}
}

// From any start the search does not end worse, and mostly better.
func TestImprovesAnyPlant(t *testing.T) {
	t.Parallel()
	days, from := 14, *plants
	if raced {
		days, from = 2, min(2, from)
	}
	tries, better := 0, 0
	for seed := range uint64(from) {
		r := rand.New(rand.NewPCG(seed, 14))
		s, w := anyWinter(t, r, days*day, foresight.FixedSpeed{})
		off := make([]float64, days*day)
		for name, start := range map[string][]float64{
			"off": off, "always": w.Rule(func(foresight.State, bool) bool { return true }),
			"difference": difference(w), "thermostat": thermostat(w, 3),
		} {
			before := w.Simulate(start).Squared
			found := w.Improve(start, steps(300))
			t.Logf("plant %d from %s: %.2f K²h, pulsed %.2f, relaxed %.2f", seed, name, before, found.Pulsed.Score.Squared, found.Relaxed.Score.Squared)
			assert.LessOrEqual(t, found.Pulsed.Score.Squared, before)
			assert.LessOrEqual(t, found.Relaxed.Score.Squared, found.Pulsed.Score.Squared)
			if found.Pulsed.Score.Squared < before {
				obeys(t, w, s.plant, found.Pulsed)
				better++
			}
			tries++
		}
		nightBound(t, w, seed)
	}
	assert.GreaterOrEqual(t, 5*better, 4*tries)
}

// nightBound holds what is found for a plant's first night against its bound.
func nightBound(t *testing.T, w *foresight.Winter, seed uint64) {
	t.Helper()
	const from, length = 5 * 60, 16 * 60
	var at foresight.State
	w.Follow(make([]float64, w.Minutes()), func(i int, x foresight.State) {
		if i == from-1 {
			at = x
		}
	})
	part, err := w.Part(from, from+length, at)
	require.NoError(t, err)
	bound, err := part.Bound()
	require.NoError(t, err)
	found := part.Improve(make([]float64, length), steps(200))
	t.Logf("plant %d, first night: pulsed %.3f K²h, relaxed %.3f, bound %.3f", seed, found.Pulsed.Score.Squared, found.Relaxed.Score.Squared, bound)
	assert.LessOrEqual(t, bound, found.Relaxed.Score.Squared+1e-9)
}

// Variable speed can do all that pulses at full speed can, and does no worse from them.
func TestVariableSpeed(t *testing.T) {
	t.Parallel()
	s, days := stands()[0], 14
	if raced {
		days = 2
	}
	fixed, sky := s.invented(t, days*day, 5, s.plant)
	s.plant.Start.House = sky.Outdoors[0]
	w, err := foresight.NewWinter(s.plant, sky, foresight.VariableSpeed{}, crop)
	require.NoError(t, err)
	pulses := fixed.Improve(thermostat(fixed, 3), steps(300)).Pulsed
	slow := w.Improve(pulses.Duty, steps(300)).Pulsed
	t.Logf("full speed %.2f K²h with %.0f Wh, variable %.2f with %.0f", pulses.Score.Squared, pulses.Score.Drawn, slow.Score.Squared, slow.Score.Drawn)
	assert.LessOrEqual(t, slow.Score.Squared, pulses.Score.Squared)
	if !raced { // a tenth of the steps over two days finds nothing
		assert.Less(t, slow.Score.Squared, pulses.Score.Squared)
	}
	for _, d := range slow.Duty {
		assert.True(t, d == 0 || d >= foresight.VariableSpeed{}.Lowest() && d <= 1)
	}
	obeys(t, w, s.plant, slow)
}
