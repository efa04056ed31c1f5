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
