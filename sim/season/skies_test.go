package season_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/season"
	"duskloop/sim/sun"
)

// A plane on the level has the level's own sun, and a steep one to the south more of a
// clear winter noon and less of an overcast one: nearly all of that is diffuse, and the
// plane sees (1+cos 60°)/2 of the sky (Liu & Jordan, Solar Energy 7, 1963, 53) and a
// fifth of (1-cos 60°)/2 off the ground.
func TestSkiesByHand(t *testing.T) {
	t.Parallel()
	site := sun.Site{Latitude: 36.1, Longitude: -79.95, Elevation: 270}
	noon := time.Date(2026, 1, 10, 17, 25, 0, 0, time.UTC)
	slot := noon.Unix() / 600
	steep := season.Skies(site, sun.Plane{Tilt: 60, Facing: 180, Albedo: 0.2})(slot)
	flat := season.Skies(site, sun.Plane{Facing: 180, Albedo: 0.2})(slot)
	_, ghi := site.ClearSky(noon)
	require.Positive(t, float64(ghi))
	assert.InDelta(t, float64(ghi)/1000, flat.Clear, 1e-3)
	for i, x := range flat.Level {
		assert.InDelta(t, x, flat.Plane[i], 1e-9)
	}
	assert.Greater(t, steep.Clear, 1.5*flat.Clear, "the sun stands low")
	assert.InDelta(t, 0.75+0.05, steep.Plane[1]/steep.Level[1], 0.04, "overcast")
	for i := 1; i < len(steep.Plane); i++ {
		assert.GreaterOrEqual(t, steep.Plane[i], steep.Plane[i-1])
	}
	assert.Zero(t, season.Skies(site, sun.Plane{Tilt: 60, Facing: 180})(slot+72), "midnight")
}
