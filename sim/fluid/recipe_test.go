package fluid

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// Worked recipes of the reference notes: densities 1.2611 and 0.9982 kg/L at 20 °C.
func TestRecipesFromVolumes(t *testing.T) {
	t.Parallel()
	r, err := FromVolumes(4, 1)
	require.NoError(t, err)
	assert.InDelta(t, 0.240, float64(r.Share), 0.0005)
	assert.InDelta(t, 4.971, float64(r.Total), 0.005, "5 L shrink to 4.971 L")
	r, err = FromVolumes(2, 1)
	require.NoError(t, err)
	assert.InDelta(t, 0.387, float64(r.Share), 0.0005)
	m, err := New(r.Share)
	require.NoError(t, err)
	assert.InDelta(t, -14.5, float64(m.Freezing()), 0.3, "not -40 °C, as is often claimed")
	_, err = FromVolumes(1, 2)
	require.ErrorIs(t, err, ErrRange, "two parts of glycerin to one of water is past 60 % by weight")
}

// A recipe made for a share and volume gives both back.
func TestForShareIsTheOtherWayRound(t *testing.T) {
	t.Parallel()
	for _, w := range []quantity.Share{0, 0.1, 0.24, 0.38, 0.6} {
		r, err := ForShare(w, 19)
		require.NoError(t, err)
		back, err := FromVolumes(r.Water, r.Glycerin)
		require.NoError(t, err)
		assert.InDelta(t, float64(w), float64(back.Share), 1e-9)
		assert.InDelta(t, 19, float64(back.Total), 1e-6)
	}
}

func TestProtectingIsTheWeakestMix(t *testing.T) {
	t.Parallel()
	for _, c := range []quantity.Celsius{-1, -5, -9.5, -15, -20, -30, -33} {
		w, err := Protecting(c)
		require.NoError(t, err)
		at, err := FreezingPoint(w)
		require.NoError(t, err)
		assert.LessOrEqual(t, float64(at), float64(c))
		weaker, err := FreezingPoint(w - 0.005)
		require.NoError(t, err)
		assert.Greater(t, float64(weaker), float64(c))
	}
	w, err := Protecting(-38)
	require.NoError(t, err)
	assert.InDelta(t, 0.65, float64(w), 1e-9, "a tabulated point")
	_, err = Protecting(-41)
	require.ErrorIs(t, err, ErrRange)
}

// Above 60 % only the tabulated points count, the warm side of each interval, and
// past the eutectic more glycerin protects less.
func TestStrongMixes(t *testing.T) {
	t.Parallel()
	rows := []struct{ w, freezing float64 }{
		{0.62, -33.6}, {0.65, -43}, {0.66, -43}, {0.667, -46.5}, {0.68, -37.8}, {0.7, -37.8}, {0.716, -29.8}, {0.8, -19.2}, {1, 17},
	}
	for _, row := range rows {
		got, err := FreezingPoint(quantity.Share(row.w))
		require.NoError(t, err)
		assert.InDelta(t, row.freezing, float64(got), 1e-9, "w %v", row.w)
	}
	_, err := FreezingPoint(1.1)
	require.ErrorIs(t, err, ErrRange)
}
