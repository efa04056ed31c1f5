package coil_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/coil"
	"duskloop/sim/fluid"
)

// liquid of a mix at a temperature.
func liquid(t *testing.T, share quantity.Share, at quantity.Celsius) coil.Liquid {
	t.Helper()
	m, err := fluid.New(share)
	require.NoError(t, err)
	rho, err := m.Density(at)
	require.NoError(t, err)
	cp, err := m.SpecificHeat(at)
	require.NoError(t, err)
	mu, err := m.Viscosity(at)
	require.NoError(t, err)
	k, err := m.Conductivity(at)
	require.NoError(t, err)
	return coil.Liquid{Density: float64(rho), SpecificHeat: float64(cp), Viscosity: float64(mu) / 1000, Conductivity: float64(k)}
}

func TestFriction(t *testing.T) {
	t.Parallel()
	assert.InDelta(t, 0.064, coil.Friction(1000), 1e-12, "Hagen-Poiseuille")
	// Moody's chart, smooth tube: 0.0309 at 1e4, 0.0180 at 1e5 (Prandtl's equation
	// 1/√f = 2 lg(Re √f) - 0.8, solved here).
	for _, re := range []float64{1e4, 3e4, 1e5, 1e6} {
		f := 0.02
		for range 50 {
			f = math.Pow(2*math.Log10(re*math.Sqrt(f))-0.8, -2)
		}
		assert.InEpsilon(t, f, coil.Friction(re), 0.03)
	}
	assert.InDelta(t, coil.Friction(2300), coil.Friction(2300.001), 1e-6, "joined")
	assert.InDelta(t, coil.Friction(4000), coil.Friction(3999.999), 1e-6, "joined")
}

func TestNusselt(t *testing.T) {
	t.Parallel()
	// Fully developed laminar flow, wall of one temperature: 3.657 (Graetz's first
	// eigenvalue).
	assert.InEpsilon(t, 3.657, coil.Nusselt(500, 10, 1e-6), 0.002)
	// The thermal entrance, Lévêque's solution, mean Nu = 1.615 Gz^(1/3), holds for long
	// Graetz numbers; Hausen stays within 15 % of it up to 1000.
	assert.InEpsilon(t, 1.615*math.Cbrt(1000), coil.Nusselt(2000, 50, 0.01), 0.15)
	// Turbulent: Dittus-Boelter 0.023 Re^0.8 Pr^0.4 is itself good to 25 % (Incropera &
	// DeWitt).
	for _, re := range []float64{1.5e4, 5e4, 2e5} {
		assert.InEpsilon(t, 0.023*math.Pow(re, 0.8)*math.Pow(5, 0.4), coil.Nusselt(re, 5, 1e-6), 0.25)
	}
	for re := 2000.0; re < 4500; re += 5 {
		assert.Greater(t, coil.Nusselt(re+5, 8, 0.002), coil.Nusselt(re, 8, 0.002), "rises through the transition")
	}
}

func TestWorkedCoil(t *testing.T) {
	t.Parallel()
	// Worked example: UA 40 W/K, air 0.038 m³/s (45.9 W/K), 1.5 L/min of 30 % glycerin
	// (97.9 W/K): NTU 0.87, ratio 0.47, effectiveness 0.51, 23.4 W/K. With 0.5 L/min
	// 18.4 W/K; UA 20, air 0.020, 1.0 L/min: 12.3 W/K (own arithmetic on the short
	// approximation, which is up to 1 % low there).
	c := coil.Coil{Fins: 40, AirFlow: 0.038}
	none := math.Inf(1)
	assert.InDelta(t, 23.4, c.Conductance(97.9, none, 1, 20), 0.24)
	assert.InDelta(t, 18.4, c.Conductance(97.9/3, none, 1, 20), 0.2)
	assert.InDelta(t, 12.3, coil.Coil{Fins: 20, AirFlow: 0.020}.Conductance(97.9/1.5, none, 1, 20), 0.1)
	assert.Zero(t, c.Conductance(0, none, 1, 20))
	assert.Zero(t, c.Conductance(97.9, none, 0, 20))
}

func TestFilmFollowsFlowAndLiquid(t *testing.T) {
	t.Parallel()
	c := coil.Coil{Fins: 45, AirFlow: 0.04, Bore: 0.008, Length: 8, Circuits: 1}
	require.NoError(t, c.Validate())
	const flow = 1.5 / 60000
	warm, cold := liquid(t, 0.35, 50), liquid(t, 0.35, -5)
	assert.Greater(t, c.Film(flow, warm), 1.5*c.Film(flow, cold), "the thick cold mix takes less heat to the wall")
	assert.Greater(t, c.Film(flow, warm), c.Film(flow/3, warm))
	// By hand: 0.35 at 50 °C, Re = 4 q / (pi D v) = 4 x 2.5e-5 / (pi x 0.008 x 1.27e-6) =
	// 3130, transitional; the film lies between the laminar 3.66 k pi L and turbulent.
	low := 3.66 * warm.Conductivity * math.Pi * 8
	assert.Greater(t, c.Film(flow, warm), low)
	bare := c
	bare.Bore = 0
	assert.True(t, math.IsInf(bare.Film(flow, warm), 1))
	with := c.Conductance(95, c.Film(flow, warm), 1, 10)
	assert.Less(t, with, bare.Conductance(95, math.Inf(1), 1, 10))
	assert.Greater(t, with, 0.5*bare.Conductance(95, math.Inf(1), 1, 10))
}

func TestCoilValidate(t *testing.T) {
	t.Parallel()
	err := coil.Coil{Arrangement: 8, Fins: 0, AirFlow: 9, Bore: 1, Length: -1}.Validate()
	for _, what := range []string{"arrangement", "fins", "air flow", "bore", "length", "circuits"} {
		require.ErrorContains(t, err, what)
	}
}
