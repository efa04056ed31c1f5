package coil_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/coil"
)

// The oracle of every arrangement is the exchanger's own differential equations,
// solved here: the small stream enters at 1, the large at 0, and what the small one
// has lost is the effectiveness.

// along marches n units from the small stream's inlet. turn is +1 if the large
// stream runs the same way, -1 against it. It gives both temperatures at the end.
func along(n, c, turn, large float64) (small, end float64) {
	const steps = 4000
	h := n / steps
	small, end = 1, large
	slope := func(s, l float64) (float64, float64) { return l - s, turn * c * (s - l) }
	for range steps { // classical fourth-order Runge-Kutta
		a1, b1 := slope(small, end)
		a2, b2 := slope(small+h/2*a1, end+h/2*b1)
		a3, b3 := slope(small+h/2*a2, end+h/2*b2)
		a4, b4 := slope(small+h*a3, end+h*b3)
		small += h / 6 * (a1 + 2*a2 + 2*a3 + a4)
		end += h / 6 * (b1 + 2*b2 + 2*b3 + b4)
	}
	return small, end
}

func parallel(n, c float64) float64 {
	small, _ := along(n, c, 1, 0)
	return 1 - small
}

// counter needs the large stream's outlet, beside the small one's inlet: the
// equations are linear, so two marches tell it.
func counter(n, c float64) float64 {
	s0, e0 := along(n, c, -1, 0)
	s1, e1 := along(n, c, -1, 1)
	outlet := -e0 / (e1 - e0) // makes the far end, the large stream's inlet, 0
	return 1 - (s0 + outlet*(s1-s0))
}

// across marches a square: the small stream in rows, the large in columns. Each cell
// is a step of the trapezoidal rule. mixSmall stirs the small stream across its front
// after every step.
func across(n, c float64, mixSmall bool) float64 {
	const m = 400
	a, b := n/m, n*c/m
	small := make([]float64, m) // by row
	for j := range small {
		small[j] = 1
	}
	for range m { // columns in the small stream's direction
		large := 0.0
		for j := range small {
			// s' = s - a(mean difference), l' = l + b(mean difference)
			d := (small[j] - large) / (1 + a/2 + b/2)
			small[j] -= a * d
			large += b * d
		}
		if mixSmall {
			level(small)
		}
	}
	return 1 - mean(small)
}

// acrossLargeMixed marches along the large stream, which is one temperature across
// its front; the small one crosses it fresh at every step.
func acrossLargeMixed(n, c float64) float64 {
	const m = 20000
	large, left := 0.0, 0.0
	passes := 1 - math.Exp(-n) // of the small stream's difference, in one crossing
	for range m {
		mid := large + c*passes*(1-large)/m/2
		heat := passes * (1 - mid)
		large += c * heat / m
		left += heat / m
	}
	return left
}

func level(x []float64) {
	v := mean(x)
	for i := range x {
		x[i] = v
	}
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

func TestEffectivenessAgainstTheEquations(t *testing.T) {
	t.Parallel()
	cases := []struct {
		name   string
		a      coil.Arrangement
		oracle func(n, c float64) float64
		within float64
	}{
		{"parallel", coil.Parallel, parallel, 0.001},
		{"counter", coil.Counter, counter, 0.001},
		{"cross, large mixed", coil.CrossLargeMixed, acrossLargeMixed, 0.001},
		{"cross, small mixed", coil.CrossSmallMixed, func(n, c float64) float64 { return across(n, c, true) }, 0.001},
		{"cross, unmixed", coil.CrossUnmixed, func(n, c float64) float64 { return across(n, c, false) }, 0.001},
	}
	for _, k := range cases {
		worst := 0.0
		for _, n := range []float64{0.05, 0.2, 0.5, 0.87, 1, 1.7, 3, 5, 8} {
			for _, c := range []float64{0.02, 0.1, 0.25, 0.47, 0.7, 0.9, 0.999999, 1} {
				got, err := coil.Effectiveness(k.a, n, c)
				require.NoError(t, err)
				want := k.oracle(n, c)
				worst = math.Max(worst, math.Abs(got/want-1))
				assert.InEpsilon(t, want, got, k.within, "%s, NTU %g, Cr %g", k.name, n, c)
			}
		}
		t.Logf("%s: worst %.3f %%", k.name, 100*worst)
	}
}

func TestEffectivenessLimits(t *testing.T) {
	t.Parallel()
	for a := coil.CrossUnmixed; a <= coil.CrossSmallMixed; a++ {
		for _, n := range []float64{0, 1e-9, 0.3, 2} {
			got, err := coil.Effectiveness(a, n, 0)
			require.NoError(t, err)
			assert.InDelta(t, 1-math.Exp(-n), got, 1e-9, "one stream keeps its temperature")
		}
		for _, bad := range [][2]float64{{-1, 0.5}, {1, -0.1}, {1, 1.1}, {math.NaN(), 0.5}, {1, math.NaN()}, {math.Inf(1), 0.5}, {201, 0.5}} {
			_, err := coil.Effectiveness(a, bad[0], bad[1])
			require.ErrorIs(t, err, coil.ErrRange)
		}
	}
	last := 0.0
	for n := 0.01; n <= coil.MostUnits; n *= 1.1 {
		got, err := coil.Effectiveness(coil.CrossUnmixed, n, 1)
		require.NoError(t, err)
		assert.Greater(t, got, last, "the series holds up to the largest number of units")
		assert.Less(t, got, 1.0)
		last = got
	}
	_, err := coil.Effectiveness(9, 1, 0.5)
	require.ErrorIs(t, err, coil.ErrRange)
}
