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

func TestCircuitsShareTheFlow(t *testing.T) {
	t.Parallel()
	// Three tubes side by side, each with a third of the flow, are three films.
	one := coil.Coil{Fins: 45, AirFlow: 0.04, Bore: 0.008, Length: 8, Circuits: 1}
	three := one
	three.Circuits = 3
	for _, flow := range []float64{0.3 / 60000, 1.5 / 60000, 6.0 / 60000} {
		l := liquid(t, 0.3, 45)
		assert.InEpsilon(t, 3*one.Film(flow, l), three.Film(3*flow, l), 1e-12)
	}
}

func TestFinsFollowTheFans(t *testing.T) {
	t.Parallel()
	// At 60 % of its speed a fan leaves about three quarters of the air side's
	// conductance (forced convection, exponent 0.5 to 0.6; from memory).
	c := coil.Coil{Fins: 40, AirFlow: 0.038}
	assert.InDelta(t, 0.75, c.Blown(0.6)/c.Blown(1), 0.02)
	assert.Zero(t, c.Blown(0))
}

func TestThinAirCarriesLess(t *testing.T) {
	t.Parallel()
	// With few transfer units lost on the air's side the heat is the air's own rate, and
	// that goes with its pressure: 79.5 kPa at 2000 m (standard atmosphere).
	low := coil.Coil{Fins: 4000, AirFlow: 0.01}
	high := low
	high.Pressure = 79.5
	none := math.Inf(1)
	assert.InEpsilon(t, 79.5/101.325, high.Conductance(1e4, none, 1, 15)/low.Conductance(1e4, none, 1, 15), 0.001)
	// 1.2 kg/m³ times 1006 J/(kg K) at 20 °C: 1207 J/m³K.
	assert.InEpsilon(t, 12.07, low.Conductance(1e5, none, 1, 20), 0.005)
}

func TestCoilValidate(t *testing.T) {
	t.Parallel()
	err := coil.Coil{Arrangement: 8, Fins: 0, AirFlow: 9, Bore: 1, Length: -1}.Validate()
	for _, what := range []string{"arrangement", "fins", "air flow", "bore", "length", "circuits"} {
		require.ErrorContains(t, err, what)
	}
}
