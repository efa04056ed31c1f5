package sun

import (
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// Extraterrestrial is the irradiance at normal incidence above the air (Spencer
// 1971, solar constant 1366.1 W/m²). The day is counted in UTC.
func Extraterrestrial(t time.Time) quantity.WattPerSquareMetre {
	b := 2 * math.Pi * float64(t.UTC().YearDay()-1) / 365
	return quantity.WattPerSquareMetre(1366.1 * (1.00011 + 0.034221*math.Cos(b) + 0.00128*math.Sin(b) +
		0.000719*math.Cos(2*b) + 0.000077*math.Sin(2*b)))
}

// Haurwitz is the clear-sky global irradiance by the sun's apparent zenith alone
// (Haurwitz 1945, 1946); 0 below the horizon.
func Haurwitz(apparent quantity.Angle) quantity.WattPerSquareMetre {
	c := math.Cos(radians(float64(apparent)))
	if c <= 0 {
		return 0
	}
	return quantity.WattPerSquareMetre(1098 * c * math.Exp(-0.059/c))
}

// AirMass is the length of the light's path through the air relative to the
// vertical at sea level (Kasten & Young 1989). For apparent zenith up to 90°.
func AirMass(apparent quantity.Angle) float64 {
	z := float64(apparent)
	return airMass(math.Cos(radians(z)), z)
}

func airMass(cosine, z float64) float64 {
	return 1 / (cosine + 0.50572*math.Exp(-1.6364*math.Log(6.07995+90-z)))
}

// IneichenPerez is the clear-sky light at the site (Ineichen & Perez 2002, with
// the site's Linke turbidity and no enhancement term); all 0 below the horizon.
func (s Site) IneichenPerez(apparent quantity.Angle, extra quantity.WattPerSquareMetre) Light {
	air := s.clearAir()
	return air.light(apparent, extra)
}

// air is the clear air over a site.
type air struct {
	height, haze     float64 // m, Linke turbidity
	pressure         float64 // Pa
	f1, f2           float64
	gain, dniF, dniG float64 // the formula's factors that only the site sets
}

func (s Site) clearAir() air {
	a := air{height: float64(s.Elevation), haze: s.turbidity(), pressure: pressure(float64(s.Elevation))}
	a.f1, a.f2 = math.Exp(-a.height/8000), math.Exp(-a.height/1250)
	a.gain = 5.09e-5*a.height + 0.868
	a.dniF = 0.664 + 0.163/a.f1
	a.dniG = 1 - (0.1-0.2*math.Exp(-a.haze))/(0.1+0.882/a.f1)
	return a
}

// global irradiance of the clear sky, and the cosine of the apparent zenith and the
// path through the air that it was found with; all 0 below the horizon.
func (a *air) global(apparent quantity.Angle, extra quantity.WattPerSquareMetre) (ghi, cosine, mass float64) {
	cosine = math.Cos(radians(float64(apparent)))
	if cosine <= 0 {
		return 0, 0, 0
	}
	mass = airMass(cosine, float64(apparent)) * a.pressure / 101325
	ghi = a.gain * float64(extra) * cosine * math.Exp(-(3.92e-5*a.height+0.0387)*mass*(a.f1+a.f2*(a.haze-1)))
	return ghi, cosine, mass
}

// light of the clear sky.
func (a *air) light(apparent quantity.Angle, extra quantity.WattPerSquareMetre) Light {
	ghi, c, mass := a.global(apparent, extra)
	if c == 0 {
		return Light{}
	}
	dni := max(0, min(float64(extra)*a.dniF*math.Exp(-0.09*mass*(a.haze-1)), ghi*a.dniG/c))
	return Light{
		GHI: quantity.WattPerSquareMetre(ghi),
		DNI: quantity.WattPerSquareMetre(dni),
		DHI: quantity.WattPerSquareMetre(ghi - dni*c),
	}
}

// Erbs splits a global irradiance (Erbs, Klein & Duffie 1982). cos z is held above
// 0.065 in the clearness index; beyond 87° all light counts as diffuse.
func Erbs(ghi quantity.WattPerSquareMetre, zenith quantity.Angle, extra quantity.WattPerSquareMetre) Light {
	c := math.Cos(radians(float64(zenith)))
	kt := float64(ghi) / (float64(extra) * max(c, 0.065))
	kt = clamp(kt, 0, 1)
	diffuse := 0.165
	switch {
	case kt <= 0.22:
		diffuse = 1 - 0.09*kt
	case kt <= 0.80:
		diffuse = 0.9511 + kt*(-0.1604+kt*(4.388+kt*(-16.638+kt*12.336)))
	}
	if zenith > 87 {
		return Light{GHI: ghi, DHI: ghi}
	}
	dhi := float64(ghi) * diffuse
	return Light{
		GHI: ghi,
		DHI: quantity.WattPerSquareMetre(dhi),
		DNI: quantity.WattPerSquareMetre((float64(ghi) - dhi) / c),
	}
}

// ClearSky is the sun's zenith and the clear-sky global irradiance at t.
func (s Site) ClearSky(t time.Time) (zenith quantity.Angle, ghi quantity.WattPerSquareMetre) {
	pos := s.Position(t)
	return pos.Zenith, s.IneichenPerez(pos.Apparent, Extraterrestrial(t)).GHI
}

// Split divides a global irradiance at t by Erbs.
func (s Site) Split(t time.Time, zenith quantity.Angle, ghi quantity.WattPerSquareMetre) (dni, dhi quantity.WattPerSquareMetre) {
	l := Erbs(ghi, zenith, Extraterrestrial(t))
	return l.DNI, l.DHI
}
