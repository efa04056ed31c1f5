// Package coil is the liquid's way from the tank through pump, pipe and finned coil
// and back: how much flows, and how much heat passes to the air.
//
// Heat exchangers are judged by effectiveness and number of transfer units: of the
// heat that the smaller of the two streams could give up at best, the share
//
//	ε = f(NTU, Cr),  NTU = UA / Cmin,  Cr = Cmin / Cmax
//
// passes (Kays & London, Compact Heat Exchangers). The conductance UA joins the
// liquid's film inside the tube, from Reynolds and Prandtl number, and the finned
// side, which the grower or a datasheet gives at full fans. The wall is neglected:
// a millimetre of copper is a thousandth of either film.
//
// The flow is where the pump's head meets the friction of the pipes. It falls as
// the mix thickens in the cold.
//
// Units: W/K, m³/s, m, m²/s, L/min. The package does not know fouling, air locks,
// frost on the fins, condensation, or natural circulation.
package coil
