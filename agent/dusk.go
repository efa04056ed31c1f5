package agent

import (
	"time"

	"duskloop/agent/config"
)

// Dusk is sunset at the file's site on the day of t; on a day without one, six
// in the evening by the sun.
func Dusk(f *config.File, t time.Time) time.Time {
	site := SunSite(f.Site)
	solar := time.Duration(float64(f.Site.Longitude) / 15 * float64(time.Hour))
	noon := time.Date(t.Year(), t.Month(), t.Day(), 12, 0, 0, 0, time.UTC).Add(-solar)
	if day := site.Day(noon); !day.Set.IsZero() {
		return day.Set
	}
	return noon.Add(6 * time.Hour)
}

// The demo plays in a winter: from mid-January to mid-March, then again.
const (
	demoFrom = time.January
	demoDay  = 15
	demoTo   = time.March
)

// DemoStart is the dusk at which the demo begins: the first one of a winter
// that the record, which ends at latest, does not yet hold.
func DemoStart(f *config.File, latest time.Time) time.Time {
	day := time.Date(2026, demoFrom, demoDay, 0, 0, 0, 0, time.UTC)
	if latest.After(day) {
		day = latest.UTC().Truncate(24 * time.Hour)
	}
	for {
		switch {
		case day.Month() > demoTo || (day.Month() == demoTo && day.Day() > demoDay):
			day = time.Date(day.Year()+1, demoFrom, demoDay, 0, 0, 0, 0, time.UTC)
		case !Dusk(f, day).After(latest):
			day = day.AddDate(0, 0, 1)
		default:
			return Dusk(f, day).Round(time.Second)
		}
	}
}
