package coil

import (
	"errors"
	"fmt"
	"math"

	"duskloop/sensors/quantity"
)

// Coil is a finned tube with air blown across it.
type Coil struct {
	Arrangement Arrangement
	// Fins is the conductance from the tube's wall to the air at full fans. A core for
	// two strong 120 mm fans moves about 42 W/K from liquid to air (bench test 2003,
	// 3.8 L/min), with quiet fans about half (from memory, unverified).
	Fins    quantity.WattPerKelvin
	AirFlow quantity.CubicMetreSecond // at full fans
	// Bore and Length are of the tube that liquid runs through, Circuits how many run
	// side by side, each of that length. A zero Bore leaves the liquid's film out: all
	// resistance is then in Fins.
	Bore, Length quantity.Metre
	Circuits     int
}

// Validate reports every figure that no coil has.
func (c Coil) Validate() error {
	var faults []error
	check := func(ok bool, format string, args ...any) {
		if !ok {
			faults = append(faults, fmt.Errorf(format, args...))
		}
	}
	check(c.Arrangement >= CrossUnmixed && c.Arrangement <= CrossSmallMixed, "coil arrangement %d: unknown", c.Arrangement)
	check(c.Fins >= 0.1 && c.Fins <= 5000, "coil fins %v: must be 0.1 to 5000 W/K", c.Fins)
	check(c.AirFlow >= 0.001 && c.AirFlow <= 5, "coil air flow %v: must be 0.001 to 5 m3/s", c.AirFlow)
	if c.Bore != 0 {
		check(c.Bore >= 0.002 && c.Bore <= 0.05, "coil bore %v: must be 2 to 50 mm", c.Bore)
		check(c.Length >= 0.1 && c.Length <= 200, "coil tube length %v: must be 0.1 to 200 m", c.Length)
		check(c.Circuits >= 1 && c.Circuits <= 100, "coil circuits %d: must be 1 to 100", c.Circuits)
	}
	return errors.Join(faults...)
}

// AirRate is the heat capacity rate in W/K of so many m³/s of air at its own
// temperature: an ideal gas at 101.325 kPa, 353 kg K/m³ over T, and 1006 J/(kg K).
func AirRate(flow float64, at quantity.Celsius) float64 {
	return 353 / at.Absolute() * 1006 * flow
}

// bladeExponent is how the finned side follows the air's speed: forced convection,
// 0.5 to 0.6 (from memory, unverified).
const bladeExponent = 0.55

// Blown is the finned side's conductance at a fan duty, 0 to 1.
func (c Coil) Blown(fans float64) float64 {
	if fans == 1 {
		return float64(c.Fins)
	}
	return float64(c.Fins) * math.Pow(fans, bladeExponent)
}

// Film is the conductance of the liquid's film in W/K at a flow in m³/s; infinite
// without a Bore. Nu k L pi: the bore cancels.
func (c Coil) Film(flow float64, l Liquid) float64 {
	if c.Bore == 0 {
		return math.Inf(1)
	}
	bore, length, n := float64(c.Bore), float64(c.Length), float64(c.Circuits)
	re := 4 * flow / n / (math.Pi * bore * l.Kinematic())
	return Nusselt(re, l.Prandtl(), bore/length) * l.Conductivity * math.Pi * length * n
}

// Conductance is the heat per kelvin between the liquid's inlet and the air's: the
// effectiveness times the smaller capacity rate, in W/K. liquid is the liquid's
// capacity rate, film its film's conductance, fans the duty.
func (c Coil) Conductance(liquid, film, fans float64, air quantity.Celsius) float64 {
	if liquid <= 0 || fans <= 0 {
		return 0
	}
	ua := c.Blown(fans)
	if !math.IsInf(film, 1) {
		ua = ua * film / (ua + film)
	}
	blown := AirRate(float64(c.AirFlow)*fans, air)
	small, large := min(liquid, blown), max(liquid, blown)
	return small * effectiveness(c.Arrangement, min(ua/small, MostUnits), small/large)
}
