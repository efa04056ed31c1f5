package weather_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// What a plain file does not say is estimated: dew point 1.5 K below the day's lowest air
// (the generator's own choice), cloud by Kasten & Czeplak's 1 - 0.75 N^3.4: half of the
// clear sky's light is N = (2/3)^(1/3.4) = 0.888.
func TestMissingDewPointAndCloud(t *testing.T) {
	t.Parallel()
	site := sun.Site{Latitude: 44, Longitude: 0, Elevation: 100}
	var b strings.Builder
	b.WriteString("# zone: 0\n# stamp: start\ntime,air_c,ghi_w_m2\n")
	for h := range 48 {
		at, mean := time.Date(2026, 6, 20, h, 0, 0, 0, time.UTC), 0.0
		for m := range 60 {
			_, ghi := site.ClearSky(at.Add(time.Duration(m)*time.Minute + 30*time.Second))
			mean += float64(ghi) / 60
		}
		fmt.Fprintf(&b, "%s,%d,%.3f\n", at.Format(time.RFC3339), 2+h%24, mean/2)
	}
	f, err := weather.Read(strings.NewReader(b.String()))
	require.NoError(t, err)
	s, err := weather.NewSeries(f, site)
	require.NoError(t, err)
	noon := s.At(time.Date(2026, 6, 20, 12, 30, 0, 0, time.UTC))
	assert.InDelta(t, 0.5, float64(noon.DewPoint), 1e-6, "the lowest air of the day was 2 °C")
	assert.InDelta(t, 0.888, float64(noon.Cloud), 0.01)
	night := s.At(time.Date(2026, 6, 21, 0, 30, 0, 0, time.UTC))
	assert.InDelta(t, 0.888, float64(night.Cloud), 0.02, "straight on through the night")
}

// Hours that are missing are as ignorant as their neighbours: where the file has no dew
// point, that of a gap is 1.5 K below the day's lowest air as well, here 4 - 1.5 °C, and
// not a line between two zeros; where it has one, the line between 1 and 3 °C.
func TestGapsKnowNoMoreThanTheirNeighbours(t *testing.T) {
	t.Parallel()
	for column, want := range map[string]float64{"": 2.5, "dew_point_c": 2} {
		var b strings.Builder
		b.WriteString("# zone: 0\ntime,air_c,ghi_w_m2," + column + "\n")
		for h := range 24 {
			dew := 1
			if h >= 5 {
				dew = 3
			}
			if h < 2 || h > 4 {
				fmt.Fprintf(&b, "2026-01-20T%02d:00:00Z,%d,0,%d\n", h, 4+h, dew)
			}
		}
		s, err := weather.NewSeries(readText(t, b.String()), sun.Site{Latitude: 44, Longitude: 0})
		require.NoError(t, err)
		require.Len(t, s.Notes, 1)
		assert.Contains(t, s.Notes[0].Text, "3 h before this row are the straight line")
		assert.InDelta(t, want, float64(s.At(time.Date(2026, 1, 20, 3, 30, 0, 0, time.UTC)).DewPoint), 1e-9, column)
	}
}
