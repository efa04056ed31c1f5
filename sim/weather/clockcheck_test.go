package weather

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The light of invented rows tells their clock to within a minute and a half, whatever it
// is set to. (The sun they were made with is sim/sun's.)
func TestSunOffsetReadsTheClock(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"invented-nsrdb-60.csv", "invented-nsrdb-30.csv", "invented-nsrdb-5.csv"} {
		text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "weather", name))
		require.NoError(t, err)
		f, err := Read(strings.NewReader(string(text)))
		require.NoError(t, err)
		for _, late := range []time.Duration{-30 * time.Minute, 0, 15 * time.Minute} {
			var rows []row
			for _, i := range f.Intervals {
				rows = append(rows, row{stamp: i.Middle().Add(-late), Sample: i.Sample, given: i.Given})
			}
			got, ok := sunOffset(rows, f.Station)
			require.True(t, ok)
			t.Logf("%s, %v late: %v", name, late, got.Round(time.Second))
			assert.InDelta(t, late.Minutes(), got.Minutes(), 1.5, name)
		}
		_, ok := sunOffset(nil, f.Station)
		assert.False(t, ok)
	}
}

// Zenith angles of the Solar Position Algorithm's own example (NREL/TP-560-34302, 2003-10-17
// 19:30:30 UTC, 39.742476 N, 105.1786 W: 50.128°) and of an equinox noon on the equator.
func TestRoughCosine(t *testing.T) {
	t.Parallel()
	c := roughCosine(time.Date(2003, 10, 17, 19, 30, 30, 0, time.UTC), Station{Latitude: 39.742476, Longitude: -105.1786})
	assert.InDelta(t, 50.128, math.Acos(c)*180/math.Pi, 0.6)
	c = roughCosine(time.Date(2024, 3, 20, 12, 7, 0, 0, time.UTC), Station{})
	assert.InDelta(t, 0, math.Acos(c)*180/math.Pi, 0.6)
}
