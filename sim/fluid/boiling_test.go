package fluid

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// columns reads a reference table of numbers.
func columns(t *testing.T, name string) [][]float64 {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(all), 1)
	var out [][]float64
	for _, cells := range all[1:] {
		var row []float64
		for _, cell := range cells {
			v, err := strconv.ParseFloat(cell, 64)
			require.NoError(t, err)
			row = append(row, v)
		}
		out = append(out, row)
	}
	return out
}

func TestSaturationPressure(t *testing.T) {
	t.Parallel()
	for _, r := range columns(t, "water.csv") {
		p, err := SaturationPressure(quantity.Celsius(r[0]))
		require.NoError(t, err)
		assert.InEpsilon(t, r[5], float64(p), 0.001, "%v °C", r[0])
	}
}

// The last row, w 0.7, is beyond what New allows; the formula is checked there too.
func TestBoilingPoint(t *testing.T) {
	t.Parallel()
	for _, r := range columns(t, "boiling.csv") {
		got := float64(Mix{w: r[0]}.Boiling())
		assert.InDelta(t, r[1], got, 0.3, "Zhang, w %v", r[0])
		assert.InDelta(t, r[2], got, 0.4, "Norrish, w %v", r[0])
		assert.InDelta(t, r[3], got, 0.45, "Gerlach, w %v", r[0])
	}
	assert.InDelta(t, 99.974, float64(Mix{}.Boiling()), 0.001, "water, ITS-90")
}

// Water boils near 93.3 °C at 2000 m and 83 °C at 5000 m: common altitude tables, from
// memory. A mix boils above water by a little less than at sea level (4.2 K at w 0.4),
// because the same share of pressure is fewer kelvin where steam is thin.
func TestBoilingInTheMountains(t *testing.T) {
	t.Parallel()
	for elevation, want := range map[quantity.Metre]float64{2000: 93.3, 5000: 83.0} {
		p, err := AirPressure(elevation)
		require.NoError(t, err)
		water, err := Mix{}.BoilingAt(p)
		require.NoError(t, err)
		assert.InDelta(t, want, float64(water), 0.3)
		mix, err := Mix{w: 0.4}.BoilingAt(p)
		require.NoError(t, err)
		assert.InDelta(t, 3.9, float64(mix-water), 0.3)
	}
}
