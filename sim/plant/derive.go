package plant

import (
	"math"

	"duskloop/sensors/quantity"
)

// Thermal transmittance of glazing with its films, W/m²K: midpoints of published
// bands for greenhouse glazing (extension.org, Sanford: single layer 1.0-1.2, double
// 0.6-0.7 Btu/h ft² °F, that is 5.7-6.8 and 3.4-4.0 W/m²K).
const (
	SingleGlazing = 6.2
	DoubleGlazing = 3.7
)

// CoverLoss is the conductance of an area of glazing with a transmittance in
// W/m²K: U A.
func CoverLoss(area quantity.SquareMetre, transmittance float64) quantity.WattPerKelvin {
	return quantity.WattPerKelvin(float64(area) * transmittance)
}

// AirChange is the conductance of air exchanged so many times an hour: 0.33 Wh/m³K
// times volume and rate (density and specific heat of air near 20 °C). Small
// tunnels with flaps: one to three changes an hour; sound glasshouses about one
// (ASAE EP406 tables, from memory, unverified).
func AirChange(volume quantity.Litre, perHour float64) quantity.WattPerKelvin {
	return quantity.WattPerKelvin(0.33 * perHour * float64(volume) / 1000)
}

// Heat capacity rate of flowing air in W/K, at the air's own temperature: ideal gas
// at 101.325 kPa, 353 kg K/m³ over T, and 1006 J/kgK.
func airRate(flow float64, at quantity.Celsius) float64 {
	return 353 / at.Absolute() * 1006 * flow
}

// effectiveness of a cross-flow exchanger with both streams unmixed, by transfer
// units and ratio of the capacity rates (Incropera & DeWitt, Fundamentals of Heat
// and Mass Transfer, ch. 11; an approximation within some 3 %).
func effectiveness(units, ratio float64) float64 {
	if ratio < 1e-6 {
		return 1 - math.Exp(-units)
	}
	return 1 - math.Exp(math.Pow(units, 0.22)/ratio*math.Expm1(-ratio*math.Pow(units, 0.78)))
}

// conductance of the coil, heat per kelvin between the liquid's inlet and the air,
// for a liquid's capacity rate and the duties. The air side limits, so the UA
// follows the fans as duty^0.55 (forced convection, exponent 0.5 to 0.6); with the
// fans at rest only the loop's own loss remains.
func (c Coil) conductance(liquid float64, pump, fans float64, air quantity.Celsius) float64 {
	if liquid <= 0 || fans <= 0 {
		return 0
	}
	if c.Lumped > 0 {
		return math.Min(float64(c.Lumped)*math.Sqrt(pump*fans), liquid)
	}
	blown := airRate(float64(c.AirFlow)*fans, air)
	small, large := math.Min(liquid, blown), math.Max(liquid, blown)
	return small * effectiveness(c.blown(fans)/small, small/large)
}

// blown is the coil's own conductance at a fan duty.
func (c Coil) blown(fans float64) float64 {
	ua := float64(c.UA)
	if c.Lumped > 0 {
		ua = float64(c.Lumped)
	}
	return ua * math.Pow(fans, 0.55)
}

// drawn is a motor's power at a duty: a tenth is fixed, the rest follows speed^2.5
// (between the affinity law's cube and what small brushless motors do; our
// choice).
func drawn(full quantity.Watt, duty float64) float64 {
	if duty <= 0 {
		return 0
	}
	return float64(full) * (0.1 + 0.9*math.Pow(duty, 2.5))
}
