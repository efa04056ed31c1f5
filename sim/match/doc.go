// Package match says how much of what panels could give an element takes that is wired
// straight to them, over a season of light: with any resistance, any wiring of the
// panels, and cable between.
//
// Below its knee a panel is a source of current, and the power in a resistor goes with
// the square of the light; so an element that fits at noon in summer takes little from a
// winter's day, and the resistance that takes most lies above the panel's Vmp over Imp.
//
// Units: W/m² in the plane of the panels, °C, m/s, hours, ohm, W, V, kWh of a season and
// Wh of a day. It knows neither shade, nor snow, nor dirt.
package match
