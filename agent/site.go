package agent

import (
	"duskloop/agent/config"
	"duskloop/sim/sun"
)

// SunSite is the file's place, for the sun.
func SunSite(s config.Site) sun.Site {
	return sun.Site{Latitude: s.Latitude, Longitude: s.Longitude, Elevation: s.Elevation}
}
