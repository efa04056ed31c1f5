// Package pv finds what a photovoltaic panel delivers: into a resistor wired
// straight across it, into a battery at its voltage, or at its best point.
//
// The curve is the five-parameter single diode,
//
//	I = IL - I0 (exp((V + I Rs)/a) - 1) - (V + I Rs)/Rsh,
//
// translated in irradiance and cell temperature by De Soto, Klein & Beckman (Solar
// Energy 80, 2006). The diode's voltage V + I Rs is the unknown: the current is
// then explicit, and a load line V = V0 + I R gives one convex equation with one
// root, on which Newton's method from above cannot fail.
//
// Units: W/m² in the plane of the panel, °C of the cell, V, A, ohm. Irradiance
// from 0 to 1500 W/m², cells -40 to 100 °C.
//
// It does not know shading of single cells, bypass diodes, soiling, angle of
// incidence, spectrum, or ageing.
package pv
