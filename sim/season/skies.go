package season

import (
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/sun"
)

// brightestSky is the most sun that a sky is asked for, as a share of a cloudless one:
// clouds beside the sun add some. Our choice.
const brightestSky = 1.1

// Skies are the suns of a site that a plane may see, each of the level's light split into
// beam and diffuse, and brought into the plane, by the models of package sun. They may be
// asked from several goroutines.
func Skies(site sun.Site, plane sun.Plane) night.Skies {
	aim := plane.Aim()
	return func(slot int64) (s night.Sky) {
		track := site.Track() // it remembers the hour; minds of one house may ask side by side
		at := time.Unix(slot*int64(night.Step)+int64(night.Step)/2, 0).UTC()
		zenith, clear := track.ClearSky(at)
		if clear <= 0 {
			return s
		}
		inPlane := func(ghi quantity.WattPerSquareMetre) float64 {
			dni, dhi := track.Split(at, zenith, ghi)
			return float64(aim.HayDavies(track.At(at), sun.Light{GHI: ghi, DNI: dni, DHI: dhi})) / 1000
		}
		for i := 1; i < night.Suns; i++ {
			ghi := clear * brightestSky * quantity.WattPerSquareMetre(i) / (night.Suns - 1)
			s.Level[i] = float64(ghi) / 1000
			s.Plane[i] = max(s.Plane[i-1], inPlane(ghi))
		}
		s.Clear = inPlane(clear)
		return s
	}
}
