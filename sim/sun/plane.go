package sun

import (
	"fmt"
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// Plane is a flat collector.
type Plane struct {
	Tilt   quantity.Angle // from horizontal, 0 to 90
	Facing quantity.Angle // azimuth of its normal, north 0, clockwise
	Albedo quantity.Share // of the ground before it, as Ground
}

// Ground is the albedo of grass and soil: common practice, from memory, unverified, and
// the one of our reference seasons. Snow sends back several times as much.
const Ground quantity.Share = 0.2

// Validate refuses a plane that looks at the ground or an albedo outside 0..1.
func (p Plane) Validate() error {
	if !(p.Tilt >= 0 && p.Tilt <= 90) {
		return fmt.Errorf("tilt %v: must be 0 to 90 deg", p.Tilt)
	}
	if !(p.Facing >= 0 && p.Facing <= 360) {
		return fmt.Errorf("facing %v: must be 0 to 360 deg", p.Facing)
	}
	if !(p.Albedo >= 0 && p.Albedo <= 1) {
		return fmt.Errorf("albedo %v: must be 0 to 100 %%", p.Albedo)
	}
	return nil
}

// Light is what falls on a horizontal plane, split.
type Light struct {
	GHI, DNI, DHI quantity.WattPerSquareMetre
}

// Incidence is the cosine of the angle between the sun's rays and the plane's
// normal; negative when the sun is behind the plane.
func (p Plane) Incidence(pos Position) float64 {
	z, tilt := radians(float64(pos.Zenith)), radians(float64(p.Tilt))
	return math.Cos(z)*math.Cos(tilt) +
		math.Sin(z)*math.Sin(tilt)*math.Cos(radians(float64(pos.Azimuth-p.Facing)))
}

// Isotropic is the irradiance of the plane under a sky of even brightness (Liu &
// Jordan 1963 form).
func (p Plane) Isotropic(pos Position, l Light) quantity.WattPerSquareMetre {
	return p.beam(pos, l) + p.ground(l) + l.DHI*quantity.WattPerSquareMetre(p.skyView())
}

// HayDavies is the irradiance of the plane when the part DNI/E0 of the diffuse
// light comes from around the sun (Hay & Davies 1980); extra is E0, the
// extraterrestrial normal irradiance. cos z is held above 0.01745 (89°), so that
// a sun on the horizon does not make the ratio explode.
func (p Plane) HayDavies(pos Position, l Light, extra quantity.WattPerSquareMetre) quantity.WattPerSquareMetre {
	ground := float64(p.Albedo) * (1 - math.Cos(radians(float64(p.Tilt)))) / 2
	return hayDavies(p.Incidence(pos), math.Cos(radians(float64(pos.Zenith))), p.skyView(), ground, l, extra)
}

// hayDavies takes the cosines of incidence and zenith and the shares of sky and
// bright ground that the plane sees.
func hayDavies(incidence, zenith, sky, ground float64, l Light, extra quantity.WattPerSquareMetre) quantity.WattPerSquareMetre {
	incidence = max(incidence, 0)
	round := float64(l.DNI / extra)
	ratio := incidence / max(zenith, 0.01745)
	return quantity.WattPerSquareMetre(float64(l.DNI)*incidence + float64(l.GHI)*ground +
		float64(l.DHI)*(round*ratio+(1-round)*sky))
}

func (p Plane) beam(pos Position, l Light) quantity.WattPerSquareMetre {
	return l.DNI * quantity.WattPerSquareMetre(max(p.Incidence(pos), 0))
}

func (p Plane) ground(l Light) quantity.WattPerSquareMetre {
	return l.GHI * quantity.WattPerSquareMetre(float64(p.Albedo)*(1-math.Cos(radians(float64(p.Tilt))))/2)
}

func (p Plane) skyView() float64 { return (1 + math.Cos(radians(float64(p.Tilt)))) / 2 }

// OnPlane is the irradiance of a plane at the site under the light l at t, by Hay &
// Davies: position and extraterrestrial irradiance included.
func (s Site) OnPlane(p Plane, t time.Time, l Light) quantity.WattPerSquareMetre {
	if l.GHI <= 0 {
		return 0
	}
	return p.HayDavies(s.Position(t), l, Extraterrestrial(t))
}
