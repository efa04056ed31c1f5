package coil

import (
	"errors"
	"fmt"
	"math"

	"duskloop/sensors/quantity"
)

// Circuit is pump and pipes, described by what a grower can measure.
type Circuit struct {
	// Flow at full duty with the mix at Warm.
	Flow quantity.LitrePerMinute
	// Head is the pump's at no flow. The height of the pipes does not count: the
	// circuit is closed on itself. Zero: the flow does not depend on the liquid.
	Head quantity.Metre
	// Bore and Length of all the pipe in the circuit, as one. Bends and valves, whose
	// loss goes with the square of the flow, are part of the pump's own fall: the
	// measured Flow holds both.
	Bore, Length quantity.Metre
}

// Warm is the temperature in °C at which Circuit.Flow is meant.
const Warm quantity.Celsius = 40

// mostReynolds keeps the friction formula inside its range, also when the liquid is
// hotter and three times thinner than at Warm.
const mostReynolds = 1e6

// gravity in m/s² (standard, CGPM 1901).
const gravity = 9.80665

// Validate reports every figure that no circuit has.
func (c Circuit) Validate() error {
	var faults []error
	check := func(ok bool, format string, args ...any) {
		if !ok {
			faults = append(faults, fmt.Errorf(format, args...))
		}
	}
	check(c.Flow >= 0.05 && c.Flow <= 200, "loop flow %v: must be 0.05 to 200 L/min", c.Flow)
	if c.Head != 0 {
		check(c.Head >= 0.1 && c.Head <= 50, "pump head %v: must be 0.1 to 50 m", c.Head)
		check(c.Bore >= 0.002 && c.Bore <= 0.1, "pipe bore %v: must be 2 to 100 mm", c.Bore)
		check(c.Length >= 0.2 && c.Length <= 500, "pipe length %v: must be 0.2 to 500 m", c.Length)
	}
	return errors.Join(faults...)
}

// Pumped is the flow of a circuit against viscosity and duty, worked out once.
//
// The pump's head falls with the square of the flow from Head at none, and follows
// its duty by the affinity laws: flow as duty, head as its square (ASHRAE Handbook,
// HVAC Systems and Equipment; from memory). A pump at duty d in a liquid of
// kinematic viscosity v moves d times what it moves at full duty in one of v/d:
// the same Reynolds number. So one table over viscosity serves every duty.
type Pumped struct {
	full  float64 // L/min
	table []float64
}

// The table spans 0.1 to 10000 mm²/s in even steps of the logarithm; within 0.1 %
// between (tested).
const (
	thinnest = 1e-7
	thickest = 1e-2
	steps    = 250
)

// NewPumped works out the table. warm is the kinematic viscosity in m²/s at Warm.
// It refuses a flow that the pump cannot push through the pipe.
func NewPumped(c Circuit, warm float64) (Pumped, error) {
	if err := c.Validate(); err != nil {
		return Pumped{}, err
	}
	p := Pumped{full: float64(c.Flow)}
	if c.Head == 0 {
		return p, nil
	}
	measured := p.full / 60000
	if re := 4 * measured / (math.Pi * float64(c.Bore) * warm); re > mostReynolds {
		return Pumped{}, fmt.Errorf("loop flow %v through %v: %w: a Reynolds number of %.0f; at most %.0f", c.Flow, c.Bore, ErrRange, re, mostReynolds)
	}
	left := float64(c.Head) - c.loss(measured, warm)
	if !(left > 0) {
		return Pumped{}, fmt.Errorf("loop flow %v: %w: the pipe takes %.2f m of head at that flow, the pump gives %v at none",
			c.Flow, ErrRange, c.loss(measured, warm), c.Head)
	}
	fall := left / (measured * measured) // head = Head - fall q²
	for i := range steps + 1 {
		v := thinnest * math.Pow(thickest/thinnest, float64(i)/steps)
		p.table = append(p.table, 60000*c.meeting(fall, v))
	}
	return p, nil
}

// loss of head in m at q m³/s: Darcy-Weisbach.
func (c Circuit) loss(q, viscosity float64) float64 {
	if q == 0 {
		return 0
	}
	bore := float64(c.Bore)
	speed := 4 * q / (math.Pi * bore * bore)
	return friction(speed*bore/viscosity) * float64(c.Length) / bore * speed * speed / (2 * gravity)
}

// meeting is the flow in m³/s at which the pump's head is the pipe's loss. The one
// falls, the other rises, so bisection finds it.
func (c Circuit) meeting(fall, viscosity float64) float64 {
	low, high := 0.0, math.Sqrt(float64(c.Head)/fall)
	for range 36 {
		mid := (low + high) / 2
		if float64(c.Head)-fall*mid*mid > c.loss(mid, viscosity) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// Flow in L/min at a duty of 0 to 1 in a liquid of kinematic viscosity v in m²/s.
// Viscosities outside 0.1 to 10000 mm²/s count as the nearer end.
func (p *Pumped) Flow(duty, v float64) float64 {
	if duty <= 0 {
		return 0
	}
	if p.table == nil {
		return duty * p.full
	}
	x := math.Log(v/duty/thinnest) * (steps / math.Ln10 / 5)
	x = min(max(x, 0), steps)
	i := min(int(x), steps-1)
	return duty * (p.table[i] + (x-float64(i))*(p.table[i+1]-p.table[i]))
}
