package weather

import (
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// moment is the interval that a series is in, made ready for any time within it.
type moment struct {
	index  int
	begin  time.Time
	air    [3]Sample // of which the middle one is reached within the interval
	phase  float64   // as in Series
	dark   bool
	pieces int // of equal length, on which the light is straight
	light  [mostPieces + 1]light
}

// mostPieces is into how many an hour is divided for its light: every five minutes.
const mostPieces = 12

// light is what falls on level ground, W/m², and the beam.
type light struct{ ghi, dni, dhi float64 }

// at is the weather at a share of the interval.
func (m *moment) at(share float64) Sample {
	var out Sample
	if passed := share + m.phase; passed < 1 {
		out = straight(&m.air[0], &m.air[1], passed)
	} else {
		out = straight(&m.air[1], &m.air[2], passed-1)
	}
	if m.dark {
		return out
	}
	x := share * float64(m.pieces)
	k := min(int(x), m.pieces-1)
	x -= float64(k)
	a, b := m.light[k], m.light[k+1]
	out.GHI = quantity.WattPerSquareMetre(blend(a.ghi, b.ghi, x))
	out.DNI = quantity.WattPerSquareMetre(blend(a.dni, b.dni, x))
	out.DHI = quantity.WattPerSquareMetre(blend(a.dhi, b.dhi, x))
	return out
}

// enter makes an interval ready that begins at a time.
func (s *Series) enter(index int, begin time.Time) {
	m := &s.in
	own := &s.slots[index]
	m.index, m.begin = index, begin
	m.phase = s.phase
	for k := range m.air {
		m.air[k] = s.near(index, s.lead+k)
	}
	if m.dark = own.GHI <= 0; m.dark {
		return
	}
	m.pieces = min(max(int(s.step/(5*time.Minute)), 1), mostPieces)
	var sky [mostPieces + 1]open
	for k := range m.pieces + 1 {
		t := begin.Add(time.Duration(k) * s.step / time.Duration(m.pieces))
		zenith, clear := s.sky.ClearSky(t)
		sky[k] = open{t: t, zenith: zenith, ghi: float64(clear), beam: beamShape(zenith, float64(clear))}
	}
	m.shape(s.sky, sky[:m.pieces+1], own)
}

// near is the sample of a neighbouring slot; where that is unknown, the slot's own.
func (s *Series) near(index, by int) Sample {
	if x := &s.slots[s.beside(index, by)]; x.state != missing {
		return x.Sample
	}
	return s.slots[index].Sample
}

// open is a cloudless sky at one time; beam is how its beam goes, without scale.
type open struct {
	t         time.Time
	zenith    quantity.Angle
	ghi, beam float64
}

// beamShape is the irradiance on a plane that faces the sun if all light were beam;
// the cosine is held above that of 87°, beyond which Erbs' split knows no beam.
func beamShape(zenith quantity.Angle, clear float64) float64 {
	if zenith >= 90 {
		return 0
	}
	return clear / math.Max(cosine(zenith), lowCosine)
}

// lowCosine is the cosine of 87°.
const lowCosine = 0.052336

func cosine(zenith quantity.Angle) float64 { return math.Cos(float64(zenith) * math.Pi / 180) }

// shape gives the interval's light the shape of the cloudless sky: the means of what
// the file gave stay; what it did not give is split off at each point.
func (m *moment) shape(sky Sky, over []open, own *slot) {
	var ground, beam form
	for k := range over[1:] { // means by the trapezoidal rule
		ground.mean += (over[k].ghi + over[k+1].ghi) / 2 / float64(m.pieces)
		beam.mean += (over[k].beam + over[k+1].beam) / 2 / float64(m.pieces)
	}
	for _, o := range over {
		ground.peak, beam.peak = max(ground.peak, o.ghi), max(beam.peak, o.beam)
	}
	for k, o := range over {
		l := &m.light[k]
		l.ghi = ground.give(float64(own.GHI), o.ghi, brightest)
		l.dhi = ground.give(float64(own.DHI), o.ghi, brightestDiffuse)
		l.dni = 0
		if beam.mean > 0 {
			l.dni = beam.give(float64(own.DNI), o.beam, brightestBeam)
		}
		*l = split(sky, o.t, o.zenith, *l, own.given)
	}
}

// mostShape is how many times a cloudless sky's an interval's mean may be and still
// take its shape: near sunrise the model may see almost nothing where the file has
// light, which is then taken as even.
const mostShape = 3

// form is the mean and the highest point of a shape over an interval.
type form struct{ mean, peak float64 }

// give is a mean in the form of a shape: the mean itself throughout the interval where
// the shape says nothing, or its highest point would be brighter than any sky.
func (f form) give(mean, shape, limit float64) float64 {
	if !(f.mean > 0.5) || mean > mostShape*f.mean || mean*f.peak/f.mean > limit {
		return mean
	}
	return mean * shape / f.mean
}

// split adds what a file did not give: both parts by the Sky's own split, one part
// from the other two by the sun's height.
func split(sky Sky, t time.Time, zenith quantity.Angle, l light, given Given) light {
	c := cosine(zenith)
	switch {
	case given.DNI && given.DHI:
	case !given.DNI && !given.DHI:
		dni, dhi := sky.Split(t, zenith, quantity.WattPerSquareMetre(l.ghi))
		l.dni, l.dhi = float64(dni), float64(dhi)
	case given.DHI && c < lowCosine:
		l.dni, l.dhi = 0, l.ghi
	case given.DHI:
		l.dni = math.Min(math.Max(l.ghi-l.dhi, 0)/c, brightestBeam)
	default:
		l.dhi = math.Max(l.ghi-l.dni*math.Max(c, 0), 0)
	}
	return l
}

// calm is the wind that is assumed where a file gives none, m/s. Our choice.
const calm = 1.0

// Complete is the interval's sample with what the file did not give: direct and
// diffuse irradiance split for the sun at the interval's middle, wind 1 m/s. Dew
// point and cloud stay as they are.
func (i Interval) Complete(sky Sky) Sample {
	out := i.Sample
	if !i.Given.Wind {
		out.Wind = calm
	}
	if i.Given.DNI && i.Given.DHI || i.GHI <= 0 {
		return out
	}
	zenith, _ := sky.ClearSky(i.Middle())
	l := split(sky, i.Middle(), zenith, light{float64(i.GHI), float64(i.DNI), float64(i.DHI)}, i.Given)
	out.DNI, out.DHI = quantity.WattPerSquareMetre(l.dni), quantity.WattPerSquareMetre(l.dhi)
	return out
}
