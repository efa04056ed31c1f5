package trial

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Critical values of the ratio Σ(eᵢ - eᵢ₋₁)²/Σe² at 1 %, as printed for von Neumann's test
// in a climatologist's package of statistics (climtrends for R, table
// Von.Neumann.Ratio.Test.Critical.Values, after von Neumann 1941): ours are the normal
// ones, within 0.03 at 20 readings and 0.01 from 40 on.
func TestTheBoundIsThePublishedOne(t *testing.T) {
	t.Parallel()
	for n, want := range map[float64]float64{20: 1.04, 30: 1.20, 40: 1.29, 50: 1.36, 70: 1.45, 100: 1.54} {
		within := 0.01
		if n < 40 {
			within = 0.03
		}
		assert.InDelta(t, want, 2*(1-sure*scatter(n)), within, "%v readings", n)
	}
}

// What was recorded of the sun tells changing power from steady, whatever it was switched.
func TestVaried(t *testing.T) {
	t.Parallel()
	r := Run{Readings: []Reading{{At: 0, On: 0.5}, {At: 10, On: 1}, {At: 20, On: 0}, {At: 50, On: 0}}}
	assert.InDelta(t, 1.0/3, r.Varied(), 1e-12, "0.5 and 1 for as long: 0.25 about 0.75")
	r.Readings[0].On = 1
	assert.Zero(t, r.Varied())
	r = Run{Readings: []Reading{{At: 0}, {At: 10}}}
	assert.Zero(t, r.Varied())
}

// The step of a probe is seen in its readings; two readings alike are none.
func TestStep(t *testing.T) {
	t.Parallel()
	r := Run{}
	for _, x := range []float64{20, 20.0625, 20.0625, 20.25, 20} {
		r.Readings = append(r.Readings, Reading{Liquid: x})
	}
	require.InDelta(t, 0.0625, r.step(), 1e-12)
	r.Readings = r.Readings[1:3]
	assert.Zero(t, r.step())
}
