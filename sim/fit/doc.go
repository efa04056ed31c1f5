// Package fit finds the lumped greenhouse behind a record: grey-box identification of the
// night plan's own small model (package night's Twin) from days of minutes.
//
// Data flow: minutes of a record are laid out (what can be believed, where a piece begins,
// what is judged), simulated piece by piece by the exact step of the twin's equations, and
// the differences to tank and tunnel air are made small by Newton's method with the
// Gauss-Newton curvature, outliers damped, from several starts. Nights that the rest of the
// record does not explain are left out, in words. Each figure comes with its standard error
// over blocks of half a day; what the record cannot tell is refused by name.
//
// What can be told at all: with the pump at rest and no sun the tank's slope gives loss over
// heat content, with the pump on (loss + coil) over heat content, so only ratios to the
// tank's heat are seen, which comes from its litres. The tunnel's figures follow because the
// heat that leaves the tank is then known. Closed-loop data tell little, a forced test tells
// much (Lin, Middelkoop & Barooah, CDC 2012); lumped fits meet local minima, so the figures
// are bounded (Steindl, JSDEWES 7, 2019).
//
// Units: °C, K, W, W/K, J/K, s.
package fit
