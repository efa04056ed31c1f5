package night_test

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control/night"
)

// table reads the numbers of a file of published values.
func table(t *testing.T, name string) [][]float64 {
	t.Helper()
	in, err := os.Open("testdata/" + name)
	require.NoError(t, err)
	defer in.Close()
	r := csv.NewReader(in)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	var all [][]float64
	for _, row := range rows[1:] {
		var one []float64
		for _, cell := range row {
			x, err := strconv.ParseFloat(cell, 64)
			require.NoError(t, err)
			one = append(one, x)
		}
		all = append(all, one)
	}
	return all
}

// example is the published night of 15 h.
func example(t *testing.T) night.Cooling {
	t.Helper()
	c, err := night.Toward(0.95, -5.45, 15)
	require.NoError(t, err)
	return c
}

// testdata/cooling.csv says where its values are from.
func TestCoolingAgreesWithThePublishedNight(t *testing.T) {
	t.Parallel()
	c := example(t)
	assert.InDelta(t, -1.775, c.Fall, 5e-4)
	rows := table(t, "cooling.csv")
	require.Len(t, rows, 13)
	for _, row := range rows {
		got, err := c.At(row[0])
		require.NoError(t, err)
		assert.InDelta(t, row[1], got, 1e-6)
	}
	for _, hours := range []float64{1.9, 20.1, math.NaN()} {
		_, err := c.At(hours)
		require.ErrorIs(t, err, night.ErrCooling)
	}
}

// From the published night's first hours the fit finds its end; from noisy ones nearly.
func TestFallingForeseesTheMinimum(t *testing.T) {
	t.Parallel()
	rows := table(t, "cooling.csv")
	r := rand.New(rand.NewPCG(1, 1))
	exact, noisy := night.NewFalling(0.95), night.NewFalling(0.95)
	for i, row := range rows[:6] {
		_, err := exact.Cooling()
		assert.Equal(t, i < 3, err != nil, "%d points", i)
		require.NoError(t, exact.Add(row[0], row[1]))
		require.NoError(t, noisy.Add(row[0], row[1]+0.3*r.NormFloat64()))
	}
	for f, width := range map[*night.Falling]float64{&exact: 1e-5, &noisy: 0.6} {
		c, err := f.Cooling()
		require.NoError(t, err)
		got, err := c.At(15)
		require.NoError(t, err)
		assert.InDelta(t, -5.45, got, width)
	}
	require.ErrorIs(t, exact.Add(2, 0), night.ErrCooling)
	require.ErrorIs(t, exact.Add(5, math.NaN()), night.ErrCooling)
	_, err := night.Toward(1, -5, 2)
	require.ErrorIs(t, err, night.ErrCooling)
}

// Heat beside the integral summed in seconds, and the values worked out for the published
// night: 10 W/K 432, 691 and 951 Wh for 0, 2 and 4 °C; 25 W/K 1080 and 1728; 38 W/K 1642
// and 2626 for 0 and 2 °C.
func TestHeatToHold(t *testing.T) {
	t.Parallel()
	c := example(t)
	for _, row := range []struct{ cover, hold, heat float64 }{
		{10, 0, 432}, {10, 2, 691}, {10, 4, 951}, {25, 0, 1080}, {25, 2, 1728}, {38, 0, 1642}, {38, 2, 2626}, {25, -4, 0},
	} {
		got, err := c.Heat(row.cover, row.hold, 15)
		require.NoError(t, err)
		sum := 0.0
		for s := 0.5; s < 13*3600; s++ {
			at, err := c.At(2 + s/3600)
			require.NoError(t, err)
			sum += row.cover * max(0, row.hold-at) / 3600
		}
		assert.InEpsilon(t, sum, got, 1e-5)
		if row.heat > 0 {
			assert.InDelta(t, row.heat, got, 1, "%v", row)
		}
	}
	got, err := c.Heat(25, -6, 15)
	require.NoError(t, err)
	assert.InDelta(t, 0, got, 1e-9, "it never falls so far")
	_, err = c.Heat(25, 0, 1)
	require.ErrorIs(t, err, night.ErrCooling)
	_, err = night.Cooling{Start: 1, Fall: 0.2}.Heat(25, 3, 15)
	require.ErrorIs(t, err, night.ErrCooling)
}

// testdata/evenings.csv says where its values are from. The documented answer is -0.7409.
func TestRegressionAgreesWithThePublishedOne(t *testing.T) {
	t.Parallel()
	var nights, dry []night.Evening
	for _, row := range table(t, "evenings.csv") {
		nights = append(nights, night.Evening{Air: row[0], Dew: row[1], Minimum: row[2]})
		dry = append(dry, night.Evening{Air: row[0], Dew: night.Absent(), Minimum: row[2]})
	}
	require.Len(t, nights, 10)
	r, err := night.Regress(nights)
	require.NoError(t, err)
	assert.InDelta(t, -0.7409, r.Minimum(night.Evening{Air: 10, Dew: 2}), 1e-4)
	// By the air alone, worked out from the same nights: 0.503 air - 5.91.
	r, err = night.Regress(dry)
	require.NoError(t, err)
	at0, at10 := r.Minimum(night.Evening{Air: 0}), r.Minimum(night.Evening{Air: 10})
	assert.InDelta(t, -5.91, at0, 0.005)
	assert.InDelta(t, 0.503, (at10-at0)/10, 5e-4)
}

func TestRegressionRefuses(t *testing.T) {
	t.Parallel()
	none := night.Absent()
	for name, nights := range map[string][]night.Evening{
		"are needed":  {{Air: 1, Dew: none, Minimum: 0}, {Air: 2, Dew: none, Minimum: 1}},
		"as warm":     {{Air: 1, Dew: none, Minimum: 0}, {Air: 1, Dew: none, Minimum: 1}, {Air: 1, Dew: none, Minimum: 2}},
		"as moist":    {{Air: 1, Minimum: 0}, {Air: 2, Minimum: 1}, {Air: 3, Minimum: 2}},
		"lacks":       {{Air: 1, Dew: none, Minimum: 0}, {Air: none, Dew: none, Minimum: 1}, {Air: 3, Dew: none, Minimum: 2}},
		"others have": {{Air: 1, Dew: none, Minimum: 0}, {Air: 2, Dew: 1, Minimum: 1}, {Air: 3, Dew: none, Minimum: 2}},
	} {
		_, err := night.Regress(nights)
		require.ErrorIs(t, err, night.ErrRegression, name)
		assert.ErrorContains(t, err, name)
	}
}
