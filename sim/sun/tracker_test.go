package sun_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/sensors/quantity"
	"duskloop/sim/sun"
)

// TestTrackerIsTheSun holds the quick way against Position, which the published
// tables check.
func TestTrackerIsTheSun(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		site := sun.Site{
			Latitude:  quantity.Angle(rapid.Float64Range(-90, 90).Draw(rt, "lat")),
			Longitude: quantity.Angle(rapid.Float64Range(-180, 180).Draw(rt, "lon")),
			Elevation: quantity.Metre(rapid.Float64Range(0, 3000).Draw(rt, "elevation")),
		}
		plane := sun.Plane{Tilt: quantity.Angle(rapid.Float64Range(0, 90).Draw(rt, "tilt")), Facing: quantity.Angle(rapid.Float64Range(0, 360).Draw(rt, "facing")), Albedo: 0.2}
		at := time.Unix(rapid.Int64Range(1e9, 2e9).Draw(rt, "start"), rapid.Int64Range(0, 999999999).Draw(rt, "ns"))
		track, aim := site.Track(), plane.Aim()
		for range 40 {
			at = at.Add(time.Duration(rapid.Int64Range(0, 3*3600e9).Draw(rt, "passed")))
			pos, got := site.Position(at), track.At(at)
			z, a := float64(pos.Zenith)*math.Pi/180, float64(pos.Azimuth)*math.Pi/180
			require.InDelta(rt, math.Cos(z), got.Up, 1e-5)
			require.InDelta(rt, math.Sin(z)*math.Sin(a), got.East, 6e-5)
			require.InDelta(rt, math.Sin(z)*math.Cos(a), got.North, 6e-5)
			_, want := site.ClearSky(at)
			zenith, ghi := track.ClearSky(at)
			require.InDelta(rt, float64(want), float64(ghi), 0.05)
			l := sun.Light{GHI: ghi}
			l.DNI, l.DHI = track.Split(at, zenith, ghi)
			require.InDelta(rt, float64(site.OnPlane(plane, at, l)), float64(aim.HayDavies(got, l)), 0.3)
		}
	})
}

func TestTrackerBackwards(t *testing.T) {
	t.Parallel()
	site := sun.Site{Latitude: 44.2, Longitude: -78.6, Elevation: 190}
	track := site.Track()
	late := time.Date(2026, 3, 1, 17, 0, 0, 0, time.UTC)
	first := track.At(late)
	track.At(late.Add(-5 * 24 * time.Hour))
	assert.Equal(t, first, track.At(late), "the order of questions does not matter")
}

// Between the geometric horizon and a degree below it refraction may still lift the sun:
// the quick way must not cut that off.
func TestTrackerAtTheHorizon(t *testing.T) {
	t.Parallel()
	site := sun.Site{Latitude: 44.2, Longitude: -78.6, Elevation: 190}
	track := site.Track()
	rise := site.Day(time.Date(2026, 1, 15, 12, 0, 0, 0, time.FixedZone("", -5*3600))).Rise
	lifted := 0
	for s := -600; s < 900; s += 10 {
		at := rise.Add(time.Duration(s) * time.Second)
		_, want := site.ClearSky(at)
		_, got := track.ClearSky(at)
		assert.InDelta(t, float64(want), float64(got), 0.01, "%d s", s)
		if want > 0 && site.Position(at).Zenith > 90 {
			lifted++
		}
	}
	assert.Positive(t, lifted, "a moment when the sun is below the horizon and seen")
}
