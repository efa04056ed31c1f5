package season_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/plant"
	"duskloop/sim/season"
)

// The lumped plant's twin has its figures: 55 kg of 3.7 kJ/kgK, three panels matched to
// their elements at 18 V, 100 W of panel behind a tracking charger of 95 %.
func TestTwinOfALumpedPlant(t *testing.T) {
	t.Parallel()
	twin, volts, err := season.TwinOf(study("LARGE").Plant)
	require.NoError(t, err)
	assert.InDelta(t, 18, float64(volts), 0.2)
	assert.InDelta(t, 203.5e3, twin.Tank, 1)
	assert.InDelta(t, 300, twin.Element, 6)
	assert.InDelta(t, 95, twin.Panel, 0.5)
	assert.InDelta(t, 25, twin.Coil, 1e-6)
	assert.InDelta(t, 89, twin.Limit, 1e-9)
	assert.InDelta(t, 20, twin.FanHeat, 1e-9)
	assert.InDelta(t, 30, twin.Draw, 1e-9)
	assert.InDelta(t, 1200, twin.Capacity, 25)
	small, volts, err := season.TwinOf(study("SMALL").Plant)
	require.NoError(t, err)
	assert.InEpsilon(t, 6*1.44, float64(volts), 0.02, "the short-circuit current, less a little through the shunt")
	assert.InEpsilon(t, 36*1.44, small.Element, 0.04)
}

// The demonstration's richer plant has a twin too: 24 L of 35 % glycerin hold about
// 3.6 kJ/kgK, and the coil gives less than its fins alone.
func TestTwinOfARicherPlant(t *testing.T) {
	t.Parallel()
	p := plant.AlderHollow()
	twin, _, err := season.TwinOf(p)
	require.NoError(t, err)
	assert.InDelta(t, 24*1.08*3.6e3, twin.Tank, 3e3)
	assert.Greater(t, twin.Coil, 10.0)
	assert.Less(t, twin.Coil, float64(p.Coil.Fins))
	assert.InDelta(t, 92, twin.Limit, 1e-9)
	p.Element.Panel.Rating = 0
	_, _, err = season.TwinOf(p)
	require.ErrorContains(t, err, "panel")
}
