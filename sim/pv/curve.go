package pv

import (
	"math"

	"duskloop/sensors/quantity"
)

// Curve is a panel's current against voltage at one irradiance and temperature.
type Curve struct {
	light, saturation, series, leak, ideality float64
}

// Point is where a panel works.
type Point struct {
	Volts quantity.Volt
	Amps  quantity.Ampere
}

// Power is what the panel delivers there.
func (p Point) Power() quantity.Watt { return quantity.Watt(float64(p.Volts) * float64(p.Amps)) }

// OnResistor is the point with a resistance straight across the panel. An infinite
// or non-positive resistance is not a load: use OpenCircuit or ShortCircuit.
func (c Curve) OnResistor(r quantity.Ohm) Point { return c.loaded(0, float64(r)) }

// AtVoltage is the point with the panel held at a voltage through a diode that
// lets no current back: zero current above the open-circuit voltage.
func (c Curve) AtVoltage(v quantity.Volt) Point { return c.OnBattery(v, 0) }

// OnBattery is the point on a battery that shows the voltage open without the
// panel's current and rises by its resistance with it, cable included; through a diode
// that lets no current back.
func (c Curve) OnBattery(open quantity.Volt, r quantity.Ohm) Point {
	p := c.loaded(float64(open), float64(r))
	if p.Amps < 0 || c.light == 0 {
		return Point{Volts: open}
	}
	return p
}

// ShortCircuit is the point at no voltage.
func (c Curve) ShortCircuit() Point { return c.loaded(0, 0) }

// OpenCircuit is the point at no current.
func (c Curve) OpenCircuit() Point {
	if c.light == 0 {
		return Point{}
	}
	x := c.ceiling()
	for range 60 {
		i, slope := c.current(x)
		step := i / slope
		x -= step
		if math.Abs(step) < tiny {
			break
		}
	}
	return Point{Volts: quantity.Volt(x)}
}

// MaxPower is the point of most power, found by bisection of dP/dx in the diode's
// voltage x.
func (c Curve) MaxPower() Point {
	if c.light == 0 {
		return Point{}
	}
	low, high := 0.0, c.ceiling()
	for range 60 {
		x := (low + high) / 2
		i, slope := c.current(x)
		v := x - i*c.series
		if (1-slope*c.series)*i+v*slope > 0 {
			low = x
		} else {
			high = x
		}
	}
	return c.point((low + high) / 2)
}

// tiny is where Newton's method stops, in volts.
const tiny = 1e-12

// ceiling is a diode voltage that no working point exceeds: where the diode alone
// swallows all the light's current.
func (c Curve) ceiling() float64 { return c.ideality * math.Log1p(c.light/c.saturation) }

// current at a diode voltage x, and its slope.
func (c Curve) current(x float64) (amps, slope float64) {
	e := math.Exp(x / c.ideality)
	return c.light - c.saturation*(e-1) - x*c.leak, -c.saturation*e/c.ideality - c.leak
}

func (c Curve) point(x float64) Point {
	i, _ := c.current(x)
	return Point{Volts: quantity.Volt(x - i*c.series), Amps: quantity.Ampere(i)}
}

// loaded is the point on the load line V = v0 + I r, that is the root of
// f(x) = x - v0 - (Rs + r) I(x). f rises and is convex, so Newton's method started
// where f >= 0 comes down to the root without crossing it. Such a start is
// v0 + (Rs + r) IL, or the ceiling if that is lower and above the root.
func (c Curve) loaded(v0, r float64) Point {
	if c.light == 0 {
		return Point{Volts: quantity.Volt(v0)}
	}
	total := c.series + r
	x := v0 + total*c.light
	if top := c.ceiling(); v0 < top {
		x = min(x, top)
	}
	for range 100 {
		i, slope := c.current(x)
		step := (x - v0 - total*i) / (1 - total*slope)
		x -= step
		if math.Abs(step) < tiny {
			break
		}
	}
	return c.point(x)
}
