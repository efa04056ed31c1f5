package sun

import (
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// Tracker follows the sun of one site through a long run. It asks the ephemeris once
// an hour and goes straight between, which moves the sun by less than 0.00001°, and
// remembers the last answer: asking again for the same instant costs nothing. It is
// not safe for concurrent use.
type Tracker struct {
	site           Site
	sinLat, cosLat float64
	air            air
	hour           int64 // of a, Unix seconds; b is an hour later
	a, b           knot
	extra          quantity.WattPerSquareMetre

	known bool
	last  time.Time
	sun   Sun
}

// knot is the sun in the sky of the equator at a full hour.
type knot struct{ sin, cos, behind float64 }

// Sun is where the sun stands, as a vector of length 1.
type Sun struct {
	East, North, Up float64
	// Extra is the irradiance at normal incidence above the air.
	Extra quantity.WattPerSquareMetre
}

// Track is a tracker for the site.
func (s Site) Track() *Tracker {
	lat := radians(float64(s.Latitude))
	return &Tracker{site: s, sinLat: math.Sin(lat), cosLat: math.Cos(lat), air: s.clearAir()}
}

// At is the sun at t: topocentric, without refraction, as Site.Position.
func (k *Tracker) At(t time.Time) Sun {
	if k.known && t.Equal(k.last) {
		return k.sun
	}
	seconds := t.Unix()
	if !k.known || seconds < k.hour || seconds >= k.hour+3600 {
		k.tie(seconds)
	}
	passed := float64(seconds-k.hour) + float64(t.Nanosecond())/1e9
	x := passed / 3600
	sinD, cosD := k.a.sin+x*(k.b.sin-k.a.sin), k.a.cos+x*(k.b.cos-k.a.cos)
	sinH, cosH := math.Sincos(k.a.behind + x*(k.b.behind-k.a.behind))
	up := k.sinLat*sinD + k.cosLat*cosD*cosH
	scale := 1 + near*up // back to length 1
	s := Sun{
		East:  -cosD * sinH * scale,
		North: (k.cosLat*sinD - k.sinLat*cosD*cosH) * scale,
		Up:    (up - near) * scale,
		Extra: k.extra,
	}
	k.known, k.last, k.sun = true, t, s
	return s
}

// near is the parallax in radians: the observer stands that much, of the distance to
// the sun, above the centre.
const near = parallax * math.Pi / 180

// tie sets the knots around an instant.
func (k *Tracker) tie(seconds int64) {
	k.hour = seconds - ((seconds%3600)+3600)%3600
	k.a, k.b = k.knot(k.hour), k.knot(k.hour+3600)
	for k.b.behind < k.a.behind { // the hour angle only grows
		k.b.behind += 2 * math.Pi
	}
	k.extra = Extraterrestrial(time.Unix(k.hour, 0))
}

func (k *Tracker) knot(hour int64) knot {
	e := ephemerisAt(time.Unix(hour, 0))
	sin, cos := math.Sincos(e.declination)
	return knot{sin, cos, math.Remainder(radians(e.sidereal+float64(k.site.Longitude))-e.ascension, 2*math.Pi)}
}

// ClearSky is as Site.ClearSky.
func (k *Tracker) ClearSky(t time.Time) (zenith quantity.Angle, ghi quantity.WattPerSquareMetre) {
	s := k.At(t)
	if s.Up < lowest {
		return 90, 0
	}
	z := degrees(math.Acos(min(s.Up, 1)))
	apparent := quantity.Angle(z - refraction(90-z, k.air.pressure))
	clear, _, _ := k.air.global(apparent, s.Extra)
	return quantity.Angle(z), quantity.WattPerSquareMetre(clear)
}

// lowest is the sine of an altitude of -1°, below which refraction lifts no sun over
// the horizon.
const lowest = -0.01745

// Split is as Site.Split.
func (k *Tracker) Split(t time.Time, zenith quantity.Angle, ghi quantity.WattPerSquareMetre) (dni, dhi quantity.WattPerSquareMetre) {
	l := Erbs(ghi, zenith, k.At(t).Extra)
	return l.DNI, l.DHI
}

// Aim is a plane made ready for many suns: its normal as a vector of length 1, and
// the shares of sky and ground that it sees.
type Aim struct {
	east, north, up float64
	sky, ground     float64
}

// Aim of the plane.
func (p Plane) Aim() Aim {
	sinT, cosT := math.Sincos(radians(float64(p.Tilt)))
	sinF, cosF := math.Sincos(radians(float64(p.Facing)))
	return Aim{
		east: sinT * sinF, north: sinT * cosF, up: cosT,
		sky: (1 + cosT) / 2, ground: float64(p.Albedo) * (1 - cosT) / 2,
	}
}

// HayDavies is as Plane.HayDavies.
func (a *Aim) HayDavies(s Sun, l Light) quantity.WattPerSquareMetre {
	return hayDavies(a.east*s.East+a.north*s.North+a.up*s.Up, s.Up, a.sky, a.ground, l, s.Extra)
}
