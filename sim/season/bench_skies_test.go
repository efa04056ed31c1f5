package season_test

import (
	"testing"

	"duskloop/sim/season"
	"duskloop/sim/sun"
)

// BenchmarkSkies is a day of skies, as one look ahead needs.
func BenchmarkSkies(b *testing.B) {
	s := season.Skies(sun.Site{Latitude: 36.1, Longitude: -79.95, Elevation: 270}, sun.Plane{Tilt: 60, Facing: 180, Albedo: 0.2})
	b.ReportAllocs()
	n := 0.0
	for b.Loop() {
		for slot := range int64(144) {
			n += s(2946816 + slot).Clear
		}
	}
	_ = n
}
