// Package plant is the simulated greenhouse: a tank heated by an element wired
// straight to a panel, a pump and a finned coil that carry the heat into a
// tunnel, the tunnel's air and bed, the greenhouse around them, the outdoors, and
// the 12 V battery with its own panel that feeds pump, fans and computer.
//
// Six temperatures are solved: tank, coil (liquid at the coil's inlet), return
// (liquid on its way back), tunnel air, bed, greenhouse air. Between them stand
// conductances and the stream of liquid. One step holds weather, commands and the
// conductances that depend on temperature (vents, coil) constant and solves the
// linear rest by a two-stage diagonally implicit Runge-Kutta rule of second order
// (L-stable, Alexander, SIAM J. Numer. Anal. 14, 1977), so that small capacities
// do not force small steps. Each flow of heat is integrated on its own with the
// stage values and handed from one node to the other, so the books close to
// rounding, whatever the step.
//
// Units: °C, W, W/K, J/K; meters in Wh.
//
// Simplifications, all of them deliberate: every node is well mixed (no layers in
// the tank); no ice, the liquid goes on cooling below its freezing point (State
// says so); a tank boils at its boiling point under the site's air pressure and the
// steam carries the rest of the heat away; water that leaves is topped up; flow and
// evaporation are those at the start of a step; the battery is at the greenhouse's
// air temperature; the heat of the computer is left out; no humidity, no shading.
//
// The model is a test bench for a controller. It is no proof that a real plant is
// safe: a real tank needs an independent thermal cut-out and a relief valve.
package plant
