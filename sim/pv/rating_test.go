package pv_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/pv"
)

// Ohm's and Joule's laws by hand: 12 V and 100 W are 1.44 ohm, 24 V and 100 W 5.76,
// 12 V and 30 W 4.8, 230 V and 2 kW 26.45.
func TestRatedResistance(t *testing.T) {
	t.Parallel()
	for _, r := range []struct {
		watts quantity.Watt
		volts quantity.Volt
		ohms  float64
	}{{100, 12, 1.44}, {100, 24, 5.76}, {30, 12, 4.8}, {2000, 230, 26.45}} {
		got, err := pv.RatedResistance(r.watts, r.volts)
		require.NoError(t, err)
		assert.InDelta(t, r.ohms, float64(got), 1e-9)
	}
	for _, bad := range []float64{0, -100, math.NaN(), math.Inf(1), 1e6} {
		_, err := pv.RatedResistance(quantity.Watt(bad), 12)
		assert.Error(t, err)
		_, err = pv.RatedResistance(100, quantity.Volt(bad))
		assert.Error(t, err)
	}
}
