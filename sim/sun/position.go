package sun

import (
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// Position is where the sun stands.
type Position struct {
	Zenith   quantity.Angle // topocentric, without refraction
	Apparent quantity.Angle // with refraction at 12 °C and the site's pressure; equals Zenith below the horizon
	Azimuth  quantity.Angle // from north, clockwise
}

// deltaT is TT - UT1 in seconds. 69 s holds for 2017 to the late 2020s; an error
// of 10 s moves the sun by 0.0001°.
const deltaT = 69

// Position is the sun at t. Valid within a few centuries of 2000; checked for
// 2003 to 2026.
func (s Site) Position(t time.Time) Position {
	e := ephemerisAt(t)
	hour := radians(e.sidereal+float64(s.Longitude)) - e.ascension
	lat := radians(float64(s.Latitude))
	sinAlt := math.Sin(lat)*math.Sin(e.declination) + math.Cos(lat)*math.Cos(e.declination)*math.Cos(hour)
	z := degrees(math.Acos(clamp(sinAlt, -1, 1)))
	z += parallax * math.Sin(radians(z))
	az := degrees(math.Atan2(math.Sin(hour),
		math.Cos(hour)*math.Sin(lat)-math.Tan(e.declination)*math.Cos(lat))) + 180
	return Position{
		Zenith:   quantity.Angle(z),
		Apparent: quantity.Angle(z - refraction(90-z, pressure(float64(s.Elevation)))),
		Azimuth:  quantity.Angle(math.Mod(az+360, 360)),
	}
}

// parallax is the sun's equatorial horizontal parallax at mean distance, degrees:
// 8.794″ (IAU 1976). The observer stands on the surface, not at the centre.
const parallax = 8.794 / 3600

// ephemeris is the sun in the sky of the equator: right ascension and
// declination in radians, Greenwich apparent sidereal time in degrees.
type ephemeris struct{ ascension, declination, sidereal float64 }

// ephemerisAt is the apparent sun by Meeus ch. 25 (low accuracy, 0.01°), with the
// obliquity of ch. 22 and the sidereal time of ch. 12. Coefficients from memory,
// checked against the Solar Position Algorithm in the tests.
func ephemerisAt(t time.Time) ephemeris {
	days := float64(t.Unix()-j2000)/86400 + float64(t.Nanosecond())/86400e9
	c := (days + deltaT/86400.0) / 36525 // Julian centuries of TT from 2000.0
	mean := 280.46646 + c*(36000.76983+c*0.0003032)
	anomaly := radians(357.52911 + c*(35999.05029-c*0.0001537))
	centre := (1.914602-c*(0.004817+0.000014*c))*math.Sin(anomaly) +
		(0.019993-0.000101*c)*math.Sin(2*anomaly) + 0.000289*math.Sin(3*anomaly)
	node := radians(125.04 - 1934.136*c)
	nutation := -0.00478 * math.Sin(node)
	longitude := radians(math.Mod(mean+centre+perturbation(c)-0.00569+nutation, 360))
	obliquity := radians(23.4392911 - 0.0130042*c + 0.00256*math.Cos(node))
	return ephemeris{
		ascension:   math.Atan2(math.Cos(obliquity)*math.Sin(longitude), math.Cos(longitude)),
		declination: math.Asin(math.Sin(obliquity) * math.Sin(longitude)),
		sidereal: math.Mod(280.46061837+360.98564736629*days+0.000387933*c*c+
			nutation*math.Cos(obliquity), 360),
	}
}

// perturbation of the sun's longitude in degrees by Venus (two terms), Jupiter, the
// Moon and a long period: J. Meeus, Astronomical Formulae for Calculators, ch. 18;
// angles from 1900.0. From memory: with them the error against the table of the
// tests falls from 0.008° to 0.004°.
func perturbation(c float64) float64 {
	t := c + 1 + 0.5/36525 // centuries from 1900 January 0.5
	cos := func(a, b float64) float64 { return math.Cos(radians(math.Mod(a+b*t, 360))) }
	return 0.00134*cos(153.23, 22518.7541) + 0.00154*cos(216.57, 45037.5082) +
		0.00200*cos(312.69, 32964.3577) + 0.00179*cos(350.74-90, 445267.1142) + 0.00178*cos(231.19-90, 20.20)
}

// j2000 is 2000-01-01 12:00 UTC in Unix seconds.
const j2000 = 946728000

// refraction in degrees at a true altitude in degrees, by Sæmundsson as used in
// the SPA report (eq. 42), for 12 °C; zero once the sun is below the horizon by
// its radius and the horizon's refraction (0.26667 + 0.5667°).
func refraction(altitude, pressurePa float64) float64 {
	if altitude < -(0.26667 + 0.5667) {
		return 0
	}
	return pressurePa / 101000 * 283 / (273 + 12) * 1.02 /
		(60 * math.Tan(radians(altitude+10.3/(altitude+5.11))))
}

// pressure in pascal at a height in metres, standard atmosphere (ISO 2533 below
// 11 km, in the form pvlib documents).
func pressure(height float64) float64 {
	return 100 * math.Pow((44331.514-height)/11880.516, 1/0.1902632)
}

func clamp(v, low, high float64) float64 { return min(max(v, low), high) }
