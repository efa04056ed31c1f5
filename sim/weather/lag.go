package weather

import (
	"time"

	"duskloop/sensors/quantity"
)

// clearEnough is the share of a cloudless sky's light in a day from which on its
// course tells where the sun stood. Our choice.
const clearEnough = 0.8

// Lag is how far the light of the file's clear days lies behind that of a cloudless
// sky, in the mean: a wrong zone, stamps taken for what they are not, or a wrong
// place show here. days is how many clear days there were; without any it is zero.
func (f *File) Lag(sky Sky) (lag time.Duration, days int) {
	var (
		total float64
		d     course
	)
	for k, i := range f.Intervals {
		zenith, open := sky.ClearSky(i.Middle())
		if sunk := zenith > d.zenith; k == 0 || !i.Start.Equal(f.Intervals[k-1].End) || (d.sinking && !sunk) {
			total, days = d.count(total, days)
			d = course{from: i.Start}
		} else {
			d.sinking = sunk
		}
		d.zenith = zenith
		d.add(i.Middle().Sub(d.from).Seconds(), float64(i.GHI), float64(open))
	}
	total, days = d.count(total, days)
	if days == 0 {
		return 0, 0
	}
	return time.Duration(total / float64(days) * float64(time.Second)), days
}

// course is one day from the sun's lowest to its lowest: it sums the light and a
// cloudless sky's, and both times the time of day.
type course struct {
	from                         time.Time
	zenith                       quantity.Angle // of the last interval
	sinking                      bool
	light, open, lightAt, openAt float64
}

func (d *course) add(at, light, open float64) {
	d.light, d.open = d.light+light, d.open+open
	d.lightAt, d.openAt = d.lightAt+at*light, d.openAt+at*open
}

// count adds the day's lag in seconds, if the day was clear.
func (d *course) count(total float64, days int) (float64, int) {
	if d.open <= 0 || d.light <= clearEnough*d.open {
		return total, days
	}
	return total + d.lightAt/d.light - d.openAt/d.open, days + 1
}
