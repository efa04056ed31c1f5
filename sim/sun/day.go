package sun

import (
	"math"
	"time"
)

// Day is one local day's sun.
type Day struct {
	Noon time.Time // when the sun crosses the meridian
	// Rise and Set are when the upper limb touches a level horizon: geocentric
	// altitude -0.83333° (refraction 0.5667°, radius 0.26667°), no dip for height.
	// Both are zero on a day without them.
	Rise, Set time.Time
	// Up says, on a day without rise and set, whether the sun is up all day.
	Up bool
}

// riseAltitude is the geocentric altitude of the centre at rise and set, degrees.
const riseAltitude = -0.83333

// Day is the sun of the local day that holds t in t's own time zone: the crossing
// of the meridian within that day, and the rise before and the set after it. Near
// the polar circles the set may therefore fall after midnight.
func (s Site) Day(t time.Time) Day {
	year, month, date := t.Date()
	middle := time.Date(year, month, date, 12, 0, 0, 0, t.Location())
	d := Day{Noon: s.noon(middle)}
	before, after := d.Noon.Add(-12*time.Hour), d.Noon.Add(12*time.Hour)
	top := s.altitude(d.Noon) > riseAltitude
	if top && s.altitude(before) < riseAltitude {
		d.Rise = s.cross(before, d.Noon)
	}
	if top && s.altitude(after) < riseAltitude {
		d.Set = s.cross(after, d.Noon)
	}
	if d.Rise.IsZero() || d.Set.IsZero() {
		return Day{Noon: d.Noon, Up: top}
	}
	return d
}

// noon is the meridian crossing next to t. Each pass moves by the hour angle left,
// and the sun's own motion makes three passes enough for a millisecond.
func (s Site) noon(t time.Time) time.Time {
	for range 3 {
		h := math.Remainder(s.hourAngle(t), 360)
		t = t.Add(-time.Duration(h / 15 * float64(time.Hour)))
	}
	return t
}

// hourAngle in degrees, west positive.
func (s Site) hourAngle(t time.Time) float64 {
	e := ephemerisAt(t)
	return e.sidereal + float64(s.Longitude) - degrees(e.ascension)
}

// altitude is the geocentric altitude of the sun's centre in degrees.
func (s Site) altitude(t time.Time) float64 {
	e, lat := ephemerisAt(t), radians(float64(s.Latitude))
	h := radians(e.sidereal+float64(s.Longitude)) - e.ascension
	return degrees(math.Asin(clamp(math.Sin(lat)*math.Sin(e.declination)+
		math.Cos(lat)*math.Cos(e.declination)*math.Cos(h), -1, 1)))
}

// cross bisects for the instant at which the sun passes riseAltitude between a time
// when it is below and one when it is above, to a tenth of a second.
func (s Site) cross(below, above time.Time) time.Time {
	for below.Sub(above).Abs() > 100*time.Millisecond {
		mid := below.Add(above.Sub(below) / 2)
		if s.altitude(mid) > riseAltitude {
			above = mid
		} else {
			below = mid
		}
	}
	return above
}
