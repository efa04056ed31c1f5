package pv

import (
	"fmt"
	"math"

	"duskloop/sensors/quantity"
)

// Module is a panel at reference conditions: 1000 W/m², cells at 25 °C.
type Module struct {
	Light      quantity.Ampere // photocurrent IL
	Saturation quantity.Ampere // diode saturation current I0
	Series     quantity.Ohm
	Shunt      quantity.Ohm
	Ideality   quantity.Volt // a = n Ns k T / q
	// AlphaPerK is the rise of the short-circuit current in A/K.
	AlphaPerK float64
}

// generic is a 36-cell 12 V-class 100 W mono module, fitted to datasheet-like
// values of no make: Voc 22.3 V, Isc 5.95 A, Vmp 18.4 V, Imp 5.43 A, alpha 0.05
// %/K, beta -0.31 %/K (set A of testdata/single_diode.csv).
var generic = Module{
	Light: 5.9695585, Saturation: 3.0142817e-11, Series: 0.23097699, Shunt: 70.266687,
	Ideality: 0.85910922, AlphaPerK: 0.002975,
}

// genericRating is the generic module's maximum power in W at reference.
const genericRating = 99.912

// Generic is a 36-cell 12 V-class panel of the given nameplate power: the generic
// module with its current scaled, its voltages kept. It assumes that a panel, or
// several in parallel, has about 18.4 V at its best point; a "24 V" panel or a
// string in series is not described by it. Ratings from 5 W to 2000 W.
func Generic(rating quantity.Watt) (Module, error) {
	if !(rating >= 5 && rating <= 2000) {
		return Module{}, fmt.Errorf("panel rating %v: must be 5 to 2000 W", rating)
	}
	s := float64(rating) / genericRating
	m := generic
	m.Light *= quantity.Ampere(s)
	m.Saturation *= quantity.Ampere(s)
	m.Series /= quantity.Ohm(s)
	m.Shunt /= quantity.Ohm(s)
	m.AlphaPerK *= s
	return m, nil
}

// De Soto's figures for silicon: band gap at 25 °C in eV and its relative change
// per K; Boltzmann's constant in eV/K (CODATA 2018).
const (
	bandGap      = 1.121
	bandGapSlope = -0.0002677
	boltzmann    = 8.617333262e-5
	reference    = 298.15 // K
)

// At is the curve at an irradiance in the panel's plane and a cell temperature.
// Without light the curve is dead.
func (m Module) At(g quantity.WattPerSquareMetre, cell quantity.Celsius) Curve {
	if !(g > 0) {
		return Curve{}
	}
	t, sun := cell.Absolute(), float64(g)/1000
	ratio := t / reference
	gap := bandGap * (1 + bandGapSlope*(t-reference))
	return Curve{
		light:      sun * (float64(m.Light) + m.AlphaPerK*(t-reference)),
		saturation: float64(m.Saturation) * ratio * ratio * ratio * math.Exp((bandGap/reference-gap/t)/boltzmann),
		series:     float64(m.Series),
		leak:       sun / float64(m.Shunt),
		ideality:   float64(m.Ideality) * ratio,
	}
}

// CellTemperature of a panel in free air (Faiman, Prog. Photovolt. 16, 2008):
// air + G / (25 + 6.84 v), wind v in m/s near the panel.
func CellTemperature(air quantity.Celsius, g quantity.WattPerSquareMetre, windMS float64) quantity.Celsius {
	return air + quantity.Celsius(float64(g)/(25+6.84*max(windMS, 0)))
}
