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
// own, integrated here; many of them are above 533 W/m². Direct and diffuse are Erbs'.
func brightDay(t *testing.T) (*weather.File, sun.Site) {
	t.Helper()
	site := sun.Site{Latitude: 44, Longitude: 0, Elevation: 100}
	var b strings.Builder
	b.WriteString("# zone: 0, latitude: 44, longitude: 0, elevation: 100\ntime,air_c,ghi_w_m2,dni_w_m2,dhi_w_m2\n")
	for h := range 24 {
		at := time.Date(2026, 6, 20, h, 0, 0, 0, time.UTC)
		var mean [3]float64
		for m := range 60 {
			now := at.Add(time.Duration(m)*time.Minute + 30*time.Second)
			zenith, ghi := site.ClearSky(now)
			dni, dhi := site.Split(now, zenith, ghi)
			mean[0], mean[1], mean[2] = mean[0]+float64(ghi)/60, mean[1]+float64(dni)/60, mean[2]+float64(dhi)/60
		}
		fmt.Fprintf(&b, "%s,20,%.3f,%.3f,%.3f\n", at.Format(time.RFC3339), mean[0], mean[1], mean[2])
	}
	return readText(t, b.String()), site
}

// A cloudless day comes back from its hourly means as the clear sky itself, in bright
// hours too, and without steps where one hour meets the next.
func TestBrightHoursHaveTheirSlope(t *testing.T) {
	t.Parallel()
	f, site := brightDay(t)
	s := seriesOf(t, f)
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

// Bright hours keep their means too, and the light on level ground stays that of beam and
// sky together, all three being given: to 1 % of it, and 5 W/m².
func TestBrightHoursKeepTheirMeansAndAddUp(t *testing.T) {
	t.Parallel()
	f, site := brightDay(t)
	keepsMeans(t, "a bright day", f)
	s := seriesOf(t, f)
	for m := 6 * 60; m < 18*60; m++ {
		at := time.Date(2026, 6, 20, 0, m, 0, 0, time.UTC)
		x := s.At(at)
		c := math.Cos(float64(site.Position(at).Zenith) * math.Pi / 180)
		require.InDelta(t, float64(x.GHI), float64(x.DNI)*c+float64(x.DHI), 0.01*float64(x.GHI)+5, "%v", at)
	}
}
