package coil

import "math"

// Liquid is what the film and the friction must know of a liquid at one
// temperature, in SI units.
type Liquid struct {
	Density      float64 // kg/m³
	SpecificHeat float64 // J/(kg K)
	Viscosity    float64 // dynamic, Pa s
	Conductivity float64 // W/(m K)
}

// Prandtl number.
func (l Liquid) Prandtl() float64 { return l.Viscosity * l.SpecificHeat / l.Conductivity }

// Kinematic viscosity in m²/s.
func (l Liquid) Kinematic() float64 { return l.Viscosity / l.Density }

// Flow in a round tube is laminar up to a Reynolds number of 2300 and turbulent
// from 4000 on; between, the values at the two ends are joined by a straight line
// (Gnielinski, Int. J. Heat Mass Transfer 63, 2013, for heat; for friction our
// choice).
const (
	laminar   = 2300.0
	turbulent = 4000.0
)

// friction is the Darcy friction factor of a smooth round tube: 64/Re when laminar
// (Hagen-Poiseuille); (0.790 ln Re - 1.64)^-2 when turbulent (Petukhov 1970, Re
// 3000 to 5e6; NewPumped and Coil.Film's caller stay far below).
func friction(re float64) float64 {
	return joined(re, func(re float64) float64 { return 64 / re }, petukhov)
}

func petukhov(re float64) float64 {
	x := 0.790*math.Log(re) - 1.64
	return 1 / (x * x)
}

// nusselt is the mean Nusselt number of a round tube of length L and bore D with a
// wall of one temperature. Laminar: Hausen 1943 (in Incropera & DeWitt, eq. 8.57),
// 3.66 + 0.0668 Gz / (1 + 0.04 Gz^(2/3)), Gz = Re Pr D/L, running into 3.66.
// Turbulent: Gnielinski (Int. Chem. Eng. 16, 1976, 359), Pr 0.5 to 2000, Re 3000 to
// 5e6: a mix thick enough for a larger Pr never becomes turbulent in such a tube.
func nusselt(re, prandtl, boreToLength float64) float64 {
	return joined(re,
		func(re float64) float64 {
			graetz := re * prandtl * boreToLength
			root := math.Cbrt(graetz)
			return 3.66 + 0.0668*graetz/(1+0.04*root*root)
		},
		func(re float64) float64 {
			f, root := petukhov(re)/8, math.Cbrt(prandtl)
			return f * (re - 1000) * prandtl / (1 + 12.7*math.Sqrt(f)*(root*root-1))
		})
}

func joined(re float64, slow, fast func(re float64) float64) float64 {
	switch {
	case re <= laminar:
		return slow(re)
	case re >= turbulent:
		return fast(re)
	}
	share := (re - laminar) / (turbulent - laminar)
	return (1-share)*slow(laminar) + share*fast(turbulent)
}
