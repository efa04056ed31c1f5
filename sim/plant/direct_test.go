package plant_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// A loop that holds no liquid gives the tunnel conductance times difference at once,
// and the root of it at a quarter of the duty.
func TestLoopWithoutLiquid(t *testing.T) {
	t.Parallel()
	for duty, share := range map[quantity.Share]float64{1: 1, 0.25: 0.5} {
		p := plant.AlderHollow()
		p.Loop = plant.Loop{Pump: 10, PumpHeat: 0}
		p.Loop.Flow = 10
		p.Coil = plant.Coil{Lumped: 25}
		start := plant.Dusk()
		house, err := plant.New(p, time.Date(2025, 10, 1, 22, 0, 0, 0, time.UTC), start)
		require.NoError(t, err)
		house.Step(time.Second, plant.Act{Pump: duty, Fans: duty}, weather.Sample{Air: 4})
		assert.InEpsilon(t, 25*share*float64(start.Tank-start.Tunnel), float64(house.Now().CoilPower), 0.01)
		for range 24 * 60 {
			house.Step(time.Minute, plant.Act{Pump: duty, Fans: duty}, weather.Sample{Air: 4})
		}
		heat, _ := house.Imbalance()
		assert.Less(t, heat, 1e-9)
		assert.InDelta(t, float64(house.Now().Tank), float64(house.Now().Coil), 1e-9)
	}
}

// An element that tapers off gives half its power in the middle of its band and none
// above it.
func TestElementTapersOff(t *testing.T) {
	t.Parallel()
	noon := time.Date(2026, 3, 20, 17, 0, 0, 0, time.UTC)
	sunny := weather.Sample{Air: 4, GHI: 700, DNI: 800, DHI: 100}
	taken := func(tank quantity.Celsius) float64 {
		p := plant.AlderHollow()
		p.Tank.Taper = plant.Taper{From: 60, Band: 10}
		start := plant.Dusk()
		start.Tank = tank
		house, err := plant.New(p, noon, start)
		require.NoError(t, err)
		house.Step(time.Second, plant.Act{ElementConnected: true}, sunny)
		return float64(house.Now().ElementPower)
	}
	require.Greater(t, taken(40), 50.0)
	assert.InEpsilon(t, taken(40)/2, taken(65), 1e-6)
	assert.Zero(t, taken(70.5))
}
