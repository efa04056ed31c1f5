package plant_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// pond is a lone tank in a greenhouse that stays at the outdoor -3 °C, with every
// other way of heat switched off: what it loses, it loses by its surface.
func pond(open quantity.SquareMetre) plant.Params {
	p := plant.AlderHollow()
	p.Tank.Glycerin, p.Tank.Loss, p.Tank.OpenSurface = 0, 0, open
	p.Greenhouse.Cover, p.Greenhouse.SkyLoss = 1e5, 0
	return p
}

func TestOpenTankCools(t *testing.T) {
	t.Parallel()
	start := plant.Dusk()
	start.Tank = 60
	shut, open := build(t, pond(0), start), build(t, pond(0.05), start)
	open.Step(time.Minute, plant.Act{}, night())
	// At 60 °C water has 19.95 kPa (steam tables), air with a dew point of -5 °C 0.42 kPa.
	// 95 Btu/(h ft² inHg) at 5.77 inHg difference, less a quarter: 405 Btu/(h ft²), 1280
	// W/m², 64 W from 0.05 m².
	assert.InEpsilon(t, 64, 60*float64(open.Meters().Evaporation), 0.01)
	// A kilogram of water takes 2358 kJ at 60 °C (steam tables).
	assert.InEpsilon(t, float64(open.Meters().Evaporation)*3.6/2358, float64(open.Meters().WaterGone), 0.005)
	for range 12 * 60 {
		shut.Step(time.Minute, plant.Act{}, night())
		open.Step(time.Minute, plant.Act{}, night())
	}
	assert.InDelta(t, 60, float64(shut.Now().Tank), 0.5, "covered and lagged it keeps its heat")
	assert.Less(t, float64(open.Now().Tank), 45.0)
	heat, _ := open.Imbalance()
	assert.Less(t, heat, 1e-6)
}

func TestGlycerinHoldsWaterBack(t *testing.T) {
	t.Parallel()
	start := plant.Dusk()
	start.Tank = 60
	water, strong := pond(0.05), pond(0.05)
	strong.Tank.Glycerin = 0.5
	a, b := build(t, water, start), build(t, strong, start)
	a.Step(time.Minute, plant.Act{}, night())
	b.Step(time.Minute, plant.Act{}, night())
	// Raoult: half glycerin by weight is a mole fraction of water of 0.836; measured
	// activities lie up to some percent off.
	ratio := float64(b.Meters().Evaporation / a.Meters().Evaporation)
	assert.InDelta(t, 0.836, ratio, 0.04)
	assert.False(t, math.IsNaN(ratio))
}

func TestHigherUpItBoilsSooner(t *testing.T) {
	t.Parallel()
	start := plant.Dusk()
	start.Tank = 90
	p := plant.AlderHollow()
	p.Tank.CutOut, p.Tank.Glycerin, p.Site.Elevation = 0, 0, 2000
	made := build(t, p, start)
	for range 6 * 60 {
		made.Step(time.Minute, plant.Act{ElementConnected: true}, grey(1000))
	}
	require.True(t, made.Now().Boiling)
	// Steam tables: 79.5 kPa, the standard atmosphere at 2000 m, is 93.3 °C.
	assert.InDelta(t, 93.3, float64(made.Now().Tank), 0.2)
	assert.Positive(t, float64(made.Meters().WaterGone))
}
