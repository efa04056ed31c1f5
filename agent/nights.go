package agent

import (
	"time"

	"duskloop/agent/config"
	"duskloop/agent/picture"
	"duskloop/sim/sun"
)

// nights are the times between sunset and sunrise at the file's place that touch a
// span.
func nights(f *config.File, from, to time.Time) []picture.Night {
	site := SunSite(f.Site)
	zone := SunZone(f)
	y, m, d := from.In(zone).Date()
	dark := from.Add(-48 * time.Hour) // since when, as far as it matters
	var all []picture.Night
	for i := -1; ; i++ {
		date := time.Date(y, m, d+i, 12, 0, 0, 0, zone)
		rise, set, lit := light(site.Day(date))
		if lit {
			all = appendNight(all, dark, rise, from, to)
			dark = set
		}
		if date.After(to.Add(24 * time.Hour)) {
			return appendNight(all, dark, date, from, to)
		}
	}
}

// light is when the sun is up that day; all of it where it does not set, false
// where it does not rise.
func light(d sun.Day) (rise, set time.Time, lit bool) {
	switch {
	case !d.Set.IsZero():
		return d.Rise, d.Set, true
	case d.Up:
		return d.Noon.Add(-12 * time.Hour), d.Noon.Add(12 * time.Hour), true
	}
	return rise, set, false
}

// appendNight adds a night that touches the span. Less than a minute is none: days
// without sunset follow each other to the second only.
func appendNight(all []picture.Night, set, rise, from, to time.Time) []picture.Night {
	if rise.Sub(set) < time.Minute || !rise.After(from) || !set.Before(to) {
		return all
	}
	return append(all, picture.Night{Set: set, Rise: rise})
}
