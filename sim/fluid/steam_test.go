package fluid

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// IAPWS R7-97(2012), table 35: saturation pressure at 300, 500, 600 K; table 36:
// saturation temperature at 0.1 MPa.
func TestSaturationCheckValues(t *testing.T) {
	t.Parallel()
	for kelvin, want := range map[float64]float64{300: 3.53658941, 500: 2638.89776, 600: 12344.3146} {
		p, err := SaturationPressure(quantity.FromAbsolute(kelvin))
		require.NoError(t, err)
		assert.InEpsilon(t, want, float64(p), 1e-8, "%v K", kelvin)
	}
	at, err := Mix{}.BoilingAt(100)
	require.NoError(t, err)
	assert.InDelta(t, 372.755919, at.Absolute(), 1e-5)
}

func TestSaturationRefusals(t *testing.T) {
	t.Parallel()
	for _, at := range []quantity.Celsius{-0.1, 374} {
		_, err := SaturationPressure(at)
		require.ErrorIs(t, err, ErrRange)
		assert.ErrorContains(t, err, "0 to 373.9 °C")
	}
	m := Mix{w: 0.3}
	_, err := m.VapourPressure(-5)
	require.ErrorIs(t, err, ErrRange)
	_, err = m.VapourPressure(101)
	require.ErrorIs(t, err, ErrRange)
	assert.ErrorContains(t, err, "0 °C to 100 °C")
	_, err = m.BoilingAt(30)
	require.ErrorIs(t, err, ErrRange)
	assert.ErrorContains(t, err, "47 kPa to 108 kPa")
	_, err = AirPressure(6001)
	require.ErrorIs(t, err, ErrRange)
}

// The worked example of a closed vessel, computed outside this program: at w 0.240
// a_w is 0.934 at 20 °C and 0.932 at 95 °C; 84.609 kPa over water at 95 °C.
func TestVapourOverTheMix(t *testing.T) {
	t.Parallel()
	m := Mix{w: 0.240}
	for at, want := range map[quantity.Celsius]float64{20: 0.934, 95: 0.932} {
		a, err := m.WaterActivity(at)
		require.NoError(t, err)
		assert.InDelta(t, want, float64(a), 0.0005)
	}
	p, err := m.VapourPressure(95)
	require.NoError(t, err)
	assert.InEpsilon(t, 0.932*84.609, float64(p), 0.001)
	a, err := Mix{}.WaterActivity(50)
	require.NoError(t, err)
	assert.InDelta(t, 1, float64(a), 1e-15, "over water it is water's own")
	assert.InDelta(t, activity(0.7, 373.15), activity(0.7, 388.15), 0.003, "carried on above 100 °C")
}

// ICAO standard atmosphere, Doc 7488: 89.876, 79.501, 70.121, 54.048 kPa at 1000,
// 2000, 3000, 5000 m (geopotential metres differ by 0.03 % there; from memory).
func TestAirPressure(t *testing.T) {
	t.Parallel()
	for elevation, want := range map[quantity.Metre]float64{0: 101.325, 1000: 89.876, 2000: 79.501, 3000: 70.121, 5000: 54.048} {
		p, err := AirPressure(elevation)
		require.NoError(t, err)
		assert.InEpsilon(t, want, float64(p), 0.0015, "%v", elevation)
	}
}
