package pv

import (
	"errors"
	"fmt"
	"math"

	"duskloop/sensors/quantity"
)

// Nameplate is what the label of a panel says, at 1000 W/m² and cells at 25 °C.
type Nameplate struct {
	Voc, Vmp quantity.Volt
	Isc, Imp quantity.Ampere
	// Alpha and Beta are the temperature coefficients of Isc and Voc in 1/K: 0.05
	// %/K is 0.0005.
	Alpha, Beta float64
	Cells       int // in series
}

// ErrNameplate is wrapped by every refusal of a nameplate.
var ErrNameplate = errors.New("no panel has this nameplate")

// Validate refuses figures that contradict each other or that no silicon panel
// has.
func (n Nameplate) Validate() error {
	perCell := float64(n.Voc) / float64(max(n.Cells, 1))
	switch {
	case !(n.Voc > 0 && n.Isc > 0 && n.Vmp > 0 && n.Imp > 0) || !quantity.Finite(n.Voc) || !quantity.Finite(n.Isc):
		return fmt.Errorf("%w: all volts and amperes are above zero", ErrNameplate)
	case n.Vmp >= n.Voc || n.Imp >= n.Isc:
		return fmt.Errorf("%w: Vmp %v is below Voc %v, and Imp %v below Isc %v", ErrNameplate, n.Vmp, n.Voc, n.Imp, n.Isc)
	case n.Cells < 1 || !(perCell > 0.45 && perCell < 0.8):
		return fmt.Errorf("%w: %d cells in series would have %.2f V each; silicon has 0.45 to 0.8 V", ErrNameplate, n.Cells, perCell)
	case !(n.Alpha >= -0.001 && n.Alpha <= 0.002):
		return fmt.Errorf("%w: alpha %.3f %%/K is outside -0.1 to 0.2 %%/K", ErrNameplate, 100*n.Alpha)
	case !(n.Beta >= -0.006 && n.Beta <= -0.001):
		return fmt.Errorf("%w: beta %.3f %%/K is outside -0.6 to -0.1 %%/K", ErrNameplate, 100*n.Beta)
	}
	return nil
}

// warmer is the step in K at which the fitted curve must have the nameplate's
// change of Voc.
const warmer = 2.0

// Fit finds the five parameters of the single diode for a nameplate, as De Soto,
// Klein & Beckman 2006: the curve goes through short circuit, open circuit and
// the best point, the power is flat there, and Voc falls with temperature as
// stated.
//
// For a given series resistance and ideality the three points are linear in
// photocurrent, saturation and shunt conductance; the two conditions that
// remain are solved one inside the other by bisection.
func Fit(n Nameplate) (Module, error) {
	if err := n.Validate(); err != nil {
		return Module{}, err
	}
	kT := boltzmann * reference * float64(n.Cells)
	low, high := 0.5*kT, 2.0*kT
	var best Module
	tooHot := func(a float64) bool {
		m, ok := n.flat(a)
		if !ok {
			return true
		}
		best = m
		want := float64(n.Voc) * (1 + n.Beta*warmer)
		return float64(m.At(1000, 25+warmer).OpenCircuit().Volts) < want
	}
	if tooHot(low) == tooHot(high) {
		return Module{}, fmt.Errorf("%w: no diode with ideality 0.5 to 2 has these figures", ErrNameplate)
	}
	for range 60 {
		if mid := (low + high) / 2; tooHot(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	if _, ok := n.flat(low); !ok || best.Shunt <= 0 {
		return Module{}, fmt.Errorf("%w: the figures fit no diode", ErrNameplate)
	}
	return best, nil
}

// flat finds the series resistance that makes the power flat at the best point
// for the ideality a. ok is false where there is none.
func (n Nameplate) flat(a float64) (Module, bool) {
	low, high := 0.0, float64(n.Voc-n.Vmp)/float64(n.Imp)
	slope := func(rs float64) (float64, Module) {
		m := n.through(a, rs)
		vd := float64(n.Vmp) + float64(n.Imp)*rs
		g := float64(m.Saturation)/a*math.Exp(vd/a) + 1/float64(m.Shunt)
		return float64(n.Imp) - float64(n.Vmp)*g/(1+g*rs), m
	}
	lowSlope, m := slope(low)
	highSlope, _ := slope(high * 0.999)
	if !(lowSlope*highSlope < 0) {
		return m, false
	}
	for range 80 {
		mid := (low + high) / 2
		s, at := slope(mid)
		if m = at; s*lowSlope > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return m, quantity.Finite(m.Saturation) && m.Saturation > 0
}

// through is the curve through the three points for an ideality and a series
// resistance: the photocurrent is eliminated, and two equations remain for
// saturation and shunt conductance.
func (n Nameplate) through(a, rs float64) Module {
	isc, imp := float64(n.Isc), float64(n.Imp)
	vsc, vmp, voc := isc*rs, float64(n.Vmp)+imp*rs, float64(n.Voc)
	e := func(v float64) float64 { return math.Exp(v / a) }
	a11, a12, b1 := e(voc)-e(vsc), voc-vsc, isc
	a21, a22, b2 := e(vmp)-e(vsc), vmp-vsc, isc-imp
	det := a11*a22 - a12*a21
	i0 := (b1*a22 - a12*b2) / det
	g := (a11*b2 - a21*b1) / det
	light := i0*(e(voc)-1) + g*voc
	return Module{
		Light: quantity.Ampere(light), Saturation: quantity.Ampere(i0), Series: quantity.Ohm(rs), Shunt: quantity.Ohm(1 / g),
		Ideality: quantity.Volt(a), AlphaPerK: n.Alpha * isc,
	}
}

// Array is series times parallel panels alike: volts add in series, amperes in
// parallel. It refuses less than one of either.
func (m Module) Array(series, parallel int) (Module, error) {
	if series < 1 || parallel < 1 || series > 1000 || parallel > 1000 {
		return Module{}, fmt.Errorf("panels %d in series, %d in parallel: at least one of each, at most 1000", series, parallel)
	}
	s, p := float64(series), float64(parallel)
	m.Light *= quantity.Ampere(p)
	m.Saturation *= quantity.Ampere(p)
	m.AlphaPerK *= p
	m.Series *= quantity.Ohm(s / p)
	m.Shunt *= quantity.Ohm(s / p)
	m.Ideality *= quantity.Volt(s)
	return m, nil
}
