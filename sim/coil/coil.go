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
	// Pressure of the air; zero means 101.325 kPa. At 2000 m the same fans move a fifth
	// less heat.
	Pressure quantity.Kilopascal
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
	check(c.Pressure == 0 || c.Pressure >= 40 && c.Pressure <= 110, "coil air pressure %v: must be 40 to 110 kPa", c.Pressure)
	check(c.AirFlow >= 0.001 && c.AirFlow <= 5, "coil air flow %v: must be 0.001 to 5 m3/s", c.AirFlow)
	if c.Bore != 0 {
		check(c.Bore >= 0.002 && c.Bore <= 0.05, "coil bore %v: must be 2 to 50 mm", c.Bore)
		check(c.Length >= 0.1 && c.Length <= 200, "coil tube length %v: must be 0.1 to 200 m", c.Length)
		check(c.Circuits >= 1 && c.Circuits <= 100, "coil circuits %d: must be 1 to 100", c.Circuits)
	}
	return errors.Join(faults...)
}

// Dry air: gas constant 287.05 J/(kg K) (ICAO standard atmosphere), specific heat 1006
// J/(kg K) near 20 °C (from memory; within 0.1 % from -30 to 40 °C).
const (
	gasConstant = 287.05
	airHeat     = 1006
)

// airRate is the heat capacity rate in W/K of the air at full fans, at its own
// temperature: an ideal gas.
func (c Coil) airRate(at quantity.Celsius) float64 {
	pressure := c.Pressure
	if pressure == 0 {
		pressure = 101.325
	}
	return 1000 * float64(pressure) / (gasConstant * at.Absolute()) * airHeat * float64(c.AirFlow)
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
	return nusselt(re, l.Prandtl(), bore/length) * l.Conductivity * math.Pi * length * n
}

// Conductance is the heat per kelvin between the liquid's inlet and the air's: the
// effectiveness times the smaller capacity rate, in W/K. liquid is the liquid's
// capacity rate, film its film's conductance, fans the duty. More than MostUnits count
// as MostUnits.
func (c Coil) Conductance(liquid, film, fans float64, air quantity.Celsius) float64 {
	if liquid <= 0 || fans <= 0 {
		return 0
	}
	ua := c.Blown(fans)
	if !math.IsInf(film, 1) {
		ua = ua * film / (ua + film)
	}
	blown := c.airRate(air) * fans
	small, large := min(liquid, blown), max(liquid, blown)
	return small * effectiveness(c.Arrangement, min(ua/small, MostUnits), small/large)
}
