package fluid

import (
	"fmt"
	"math"

	"duskloop/sensors/quantity"
)

// SaturationPressure is that of pure water: IAPWS-IF97, region 4 (IAPWS R7-97(2012),
// equation 30; coefficients from memory, the test reproduces the check values of
// its table 35). It refuses, with ErrRange, anything outside 0 to 373.9 °C, the
// critical point.
func SaturationPressure(t quantity.Celsius) (quantity.Kilopascal, error) {
	if !(t >= 0 && t <= 373.946) {
		return 0, fmt.Errorf("saturation pressure at %v: %w: 0 to 373.9 °C", t, ErrRange)
	}
	return quantity.Kilopascal(saturation(t.Absolute())), nil
}

// saturation in kPa at kelvin.
func saturation(kelvin float64) float64 {
	n := [...]float64{
		0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5, -0.32325550322333e7,
		0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
	}
	x := kelvin + n[8]/(kelvin-n[9])
	a := (x+n[0])*x + n[1]
	b := (n[2]*x+n[3])*x + n[4]
	c := (n[5]*x+n[6])*x + n[7]
	root := 2 * c / (-b + math.Sqrt(b*b-4*a*c))
	return 1000 * root * root * root * root
}

// WaterActivity is the vapour pressure of water over the mix as a share of that over
// pure water. Valid 0 to 100 °C.
func (m Mix) WaterActivity(t quantity.Celsius) (quantity.Share, error) {
	if !(t >= 0 && t <= MaxTemp) {
		return 0, fmt.Errorf("water activity at %v: %w: 0 °C to %v", t, ErrRange, MaxTemp)
	}
	return quantity.Share(activity(m.w, t.Absolute())), nil
}

// VapourPressure is that of water over the mix; glycerin's own is some millionth of
// it. Valid 0 to 100 °C.
func (m Mix) VapourPressure(t quantity.Celsius) (quantity.Kilopascal, error) {
	a, err := m.WaterActivity(t)
	if err != nil {
		return 0, wrap("vapour pressure", err)
	}
	return quantity.Kilopascal(float64(a) * saturation(t.Absolute())), nil
}

// Molar masses in g/mol (IUPAC standard atomic weights, rounded).
const (
	glycerolMolar = 92.094
	waterMolar    = 18.015
)

// moles is the mole fraction of glycerol at the mass fraction w.
func moles(w float64) float64 {
	g := w / glycerolMolar
	return g / (g + (1-w)/waterMolar)
}

// activity of water at kelvin: L. Zhang, P. M. Grace & D.-W. Sun, Drying Technology
// 40, 2022, 2404-2413, a Wilson form; 0..100 °C, to 97.5 % of moles. Read in public
// code, not in the paper. As coded there the last term carries one parameter where
// Wilson's own equation has the other. That was kept: so its boiling points agree
// with Gerlach's within 0.4 K, the other way they lie up to 1.2 K too low. Above
// 100 °C, where only boiling points need it, it is carried on: a_w moves by less
// than 0.003 from 100 to 115 °C.
func activity(w, kelvin float64) float64 {
	const volumes = 0.08685 / 0.0188311 // glycerol over water
	x := moles(w)
	ratio := x / (1 - x)
	l12 := volumes * math.Exp(-(0.89924067 + 127.07511/kelvin))
	l21 := math.Exp(1.9173013-91.465969/kelvin) / volumes
	return math.Exp(-math.Log1p(ratio*l12) + ratio/(1/l12+ratio) - ratio*l12/(ratio+l21))
}
