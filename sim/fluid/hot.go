package fluid

import (
	"math"

	"duskloop/sensors/quantity"
)

// DensityDoubt is how far a density above 40 °C may be off, as a share: 5 of the 37
// kg/m³ that a mix loses from 20 to 95 °C. Our estimate: hotDensity is carried on
// far beyond its 15..30 °C; where there is something to compare with it is better
// (water to 100 °C within 0.03 %, Melinder's fit at 40 °C within 0.1 %).
const DensityDoubt quantity.Share = 0.005

// hotDensity in kg/m³: Volk & Kähler, Exp. Fluids 59:75, 2018, stated for 15..30 °C
// and so extrapolated when hot (DensityDoubt); form from memory.
func hotDensity(w, t float64) float64 {
	water := 1000 * (1 - math.Pow(math.Abs((t-3.98)/615), 1.71))
	glycerol := 1273.3 - 0.6121*t
	mixed := water + (glycerol-water)/(1+glycerol/water*(1/w-1))
	a := 1.78e-6*t*t - 1.82e-4*t + 1.41e-2
	return mixed * (1 + a*math.Pow(math.Sin(math.Pi*math.Pow(w, 1.31)), 0.81))
}

// hotViscosity in mPa·s: N.-S. Cheng, Ind. Eng. Chem. Res. 47, 2008, 3285; 0..100
// °C, w 0..1; form from memory.
func hotViscosity(w, t float64) float64 {
	water := 1.790 * math.Exp((-1230-t)*t/(36100+360*t))
	glycerol := 12100 * math.Exp((-1233+t)*t/(9900+70*t))
	a := 0.705 - 0.0017*t
	b := (4.9 + 0.036*t) * math.Pow(a, 2.5)
	alpha := 1 - w + a*b*w*(1-w)/(a*w+b*(1-w))
	return math.Pow(water, alpha) * math.Pow(glycerol, 1-alpha)
}

// glycerolHeatSlope is how pure glycerol's specific heat rises with temperature
// above 40 °C, J/(kg K²). Our estimate.
const glycerolHeatSlope = 4.69

// hotHeat in J/(kg K): the value at 40 °C plus what water and glycerol gain since,
// by mass. Our estimate, about ±3 %.
func hotHeat(w, t float64) float64 {
	return heatTable.at(w, fitLimit) + (1-w)*(waterHeat(t)-waterHeat(fitLimit)) +
		w*glycerolHeatSlope*(t-fitLimit)
}

// hotConductivity in W/(m K), formed like hotHeat. Our estimate, about ±5 %.
func hotConductivity(w, t float64) float64 {
	return conductivityTable.at(w, fitLimit) +
		(1-w)*(waterConductivity(t)-waterConductivity(fitLimit)) + w*glycerolGain(t)
}

// glycerolGain is the rise of pure glycerol's conductivity over that at 40 °C:
// 0.0018, 0.0046, 0.0086 W/(m K) at 60, 80, 100 °C. Our estimate.
func glycerolGain(t float64) float64 {
	gain := [...]float64{0, 0.0018, 0.0046, 0.0086}
	x := (t - fitLimit) / 20
	i := min(int(x), len(gain)-2)
	return gain[i] + (x-float64(i))*(gain[i+1]-gain[i])
}
