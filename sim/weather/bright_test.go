package weather_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// brightDay is a plain file of a cloudless June day whose hourly means are the clear sky's
// own, integrated here; many of them are above 533 W/m².
func brightDay(t *testing.T) (*weather.File, sun.Site) {
	t.Helper()
	site := sun.Site{Latitude: 44, Longitude: 0, Elevation: 100}
	var b strings.Builder
	b.WriteString("# zone: 0\n# stamp: start\n# latitude: 44\n# longitude: 0\n# elevation: 100\ntime,air_c,ghi_w_m2\n")
	for h := range 24 {
		at, mean := time.Date(2026, 6, 20, h, 0, 0, 0, time.UTC), 0.0
		for m := range 60 {
			_, ghi := site.ClearSky(at.Add(time.Duration(m)*time.Minute + 30*time.Second))
			mean += float64(ghi) / 60
		}
		fmt.Fprintf(&b, "%s,20,%.3f\n", at.Format(time.RFC3339), mean)
	}
	f, err := weather.Read(strings.NewReader(b.String()))
	require.NoError(t, err)
	return f, site
}

// A cloudless day comes back from its hourly means as the clear sky itself, in bright
// hours too, and without steps where one hour meets the next.
func TestBrightHoursHaveTheirSlope(t *testing.T) {
	t.Parallel()
	f, site := brightDay(t)
	s, err := weather.NewSeries(f, site)
	require.NoError(t, err)
	bright := 0
	for m := 6 * 60; m < 18*60; m += 7 {
		at := time.Date(2026, 6, 20, 0, m, 0, 0, time.UTC)
		_, want := site.ClearSky(at)
		got := s.At(at).GHI
		assert.InEpsilon(t, float64(want), float64(got), 0.01, "%v", at)
		if want > 600 {
			bright++
		}
	}
	assert.Greater(t, bright, 30)
	for h := 7; h < 18; h++ {
		at := time.Date(2026, 6, 20, h, 0, 0, 0, time.UTC)
		step := math.Abs(float64(s.At(at).GHI - s.At(at.Add(-time.Millisecond)).GHI))
		assert.Less(t, step, 2.0, "from one hour to the next, %v", at)
	}
}

// Two winters with a gap of eighteen months are a record with a gap, and no typical year
// put together from months: the second is not lost.
func TestALongGapIsNoTypicalYear(t *testing.T) {
	t.Parallel()
	var b strings.Builder
	b.WriteString("time,air_c,ghi_w_m2\n")
	write := func(from time.Time, days, air int) {
		for h := range 24 * days {
			fmt.Fprintf(&b, "%s,%d,0\n", from.Add(time.Duration(h)*time.Hour).Format(time.RFC3339), air)
		}
	}
	write(time.Date(2023, 10, 1, 0, 0, 0, 0, time.UTC), 170, 10)
	write(time.Date(2025, 10, 1, 0, 0, 0, 0, time.UTC), 100, -10)
	f, err := weather.Read(strings.NewReader(b.String()))
	require.NoError(t, err)
	assert.False(t, f.Typical)
	assert.Len(t, f.Intervals, 24*270)
	require.Len(t, f.Notes, 1)
	assert.Contains(t, f.Notes[0].Text, "missing before this row")
	s, err := weather.NewSeries(f, sun.Site{})
	require.NoError(t, err)
	assert.Equal(t, -10.0, float64(s.At(time.Date(2025, 11, 15, 12, 0, 0, 0, time.UTC)).Air))
	assert.Equal(t, 10.0, float64(s.At(time.Date(2023, 11, 15, 12, 0, 0, 0, time.UTC)).Air))
	require.Error(t, s.Covers(time.Date(2030, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(2030, 1, 2, 0, 0, 0, 0, time.UTC)))
}

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
