package foresight_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"duskloop/sim/foresight"
)

// difference is the plain differential rule: on when the tank is 8 K warmer than the
// air, off below 3 K.
func difference(w *foresight.Winter) []float64 {
	return w.Rule(func(s foresight.State, on bool) bool {
		d := s.Tank - s.Air
		return d > 8 || on && d > 3
	})
}

// thermostat runs below a temperature of the air, to 1 K above, while the tank is over
// 3 K warmer.
func thermostat(w *foresight.Winter, at float64) []float64 {
	return w.Rule(func(s foresight.State, on bool) bool {
		return s.Tank-s.Air > 3 && (s.Air < at || on && s.Air < at+1)
	})
}

// The study that set the bench, an independent simulation of the same three plants on
// the same real year, found for LARGE without heat 13365 K²h, 2237 K h below 5 °C and 933
// below 2 °C; differential 11961, 2006, 833; thermostat at 3 °C 8926, 1674, 596 and 3.9
// kWh. Ours differ in how they read the file between its hours; the brief allows 10 %.
func TestAsTheStudyFound(t *testing.T) {
	t.Parallel()
	w, _, real := stands()[0].season(t)
	for _, c := range []struct {
		name                 string
		schedule             []float64
		squared, hours, cold float64
	}{
		{"off", make([]float64, w.Minutes()), 13365, 2237, 933},
		{"difference", difference(w), 11961, 2006, 833},
		{"thermostat", thermostat(w, 3), 8926, 1674, 596},
	} {
		got := w.Simulate(c.schedule)
		t.Logf("%s: %+v", c.name, got)
		if !real {
			assert.Positive(t, got.Squared)
			continue
		}
		assert.InEpsilon(t, c.squared, got.Squared, 0.1)
		assert.InEpsilon(t, c.hours, got.DegreeHours, 0.1)
		assert.InEpsilon(t, c.cold, got.Below2, 0.1)
	}
}
