package plant

import (
	"math"

	"duskloop/sensors/quantity"
	"duskloop/sim/coil"
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
// times volume and rate (density and specific heat of air near 20 °C at sea level; a
// fifth less at 2000 m). Small
// tunnels with flaps: one to three changes an hour; sound glasshouses about one
// (ASAE EP406 tables, from memory, unverified).
func AirChange(volume quantity.Litre, perHour float64) quantity.WattPerKelvin {
	return quantity.WattPerKelvin(0.33 * perHour * float64(volume) / 1000)
}

// conductance of the coil in W/K between the liquid's inlet and the air: for a
// liquid, its flow in L/min and capacity rate in W/K, and the duties. With the fans
// at rest only the loop's own loss remains. It never exceeds what the liquid
// carries.
func (c *Coil) conductance(l coil.Liquid, flow, rate, pump, fans float64, air quantity.Celsius) float64 {
	if rate <= 0 || fans <= 0 {
		return 0
	}
	if c.Lumped > 0 {
		return min(float64(c.Lumped)*math.Sqrt(math.Sqrt(pump*fans)), rate)
	}
	return c.Conductance(rate, c.Film(flow/60000, l), fans, air)
}

// blown is the coil's own conductance at a fan duty, without flow.
func (c *Coil) blown(fans float64) float64 {
	if c.Lumped > 0 {
		return float64(c.Lumped) * math.Sqrt(fans)
	}
	return c.Blown(fans)
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

// FullPower is the power at full duty of a motor that draws so much at a duty, 0 to 1.
func FullPower(at quantity.Watt, duty quantity.Share) quantity.Watt {
	return at / quantity.Watt(drawn(1, float64(duty)))
}
