package coil

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFriction(t *testing.T) {
	t.Parallel()
	assert.InDelta(t, 0.064, friction(1000), 1e-12, "Hagen-Poiseuille")
	// Moody's chart, smooth tube: 0.0309 at 1e4, 0.0180 at 1e5 (Prandtl's equation
	// 1/√f = 2 lg(Re √f) - 0.8, solved here).
	for _, re := range []float64{1e4, 3e4, 1e5, 1e6} {
		f := 0.02
		for range 50 {
			f = math.Pow(2*math.Log10(re*math.Sqrt(f))-0.8, -2)
		}
		assert.InEpsilon(t, f, friction(re), 0.03)
	}
	assert.InDelta(t, friction(2300), friction(2300.001), 1e-6, "joined")
	assert.InDelta(t, friction(4000), friction(3999.999), 1e-6, "joined")
}

func TestNusselt(t *testing.T) {
	t.Parallel()
	// Fully developed laminar flow, wall of one temperature: 3.657 (Graetz's first
	// eigenvalue).
	assert.InEpsilon(t, 3.657, nusselt(500, 10, 1e-6), 0.002)
	// The thermal entrance, Lévêque's solution, mean Nu = 1.615 Gz^(1/3), holds for long
	// Graetz numbers; Hausen stays within 15 % of it up to 1000.
	assert.InEpsilon(t, 1.615*math.Cbrt(1000), nusselt(2000, 50, 0.01), 0.15)
	// Turbulent: Dittus-Boelter 0.023 Re^0.8 Pr^0.4 is itself good to 25 % (Incropera &
	// DeWitt).
	for _, re := range []float64{1.5e4, 5e4, 2e5} {
		assert.InEpsilon(t, 0.023*math.Pow(re, 0.8)*math.Pow(5, 0.4), nusselt(re, 5, 1e-6), 0.25)
	}
	for re := 2000.0; re < 4500; re += 5 {
		assert.Greater(t, nusselt(re+5, 8, 0.002), nusselt(re, 8, 0.002), "rises through the transition")
	}
}
