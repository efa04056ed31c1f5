package main

import (
	"fmt"
	"io"

	"duskloop/sensors/quantity"
	"duskloop/sim/match"
)

// The cold at which what must break the panels' voltage is reckoned: cells in the first
// sun of a morning are as cold as the air. Without weather a hard winter is taken, which is
// a choice of ours; with a file its coldest air, but never warmer than match.Frosty.
const (
	hardWinter = quantity.Celsius(-25)
	morningSun = 1000 // W/m², the label's own
)

// openVolts are those of one panel without load in the cold: by the fitted curve or
// straight by the label's coefficient, whichever is more.
func (a array) openVolts(cold quantity.Celsius) float64 {
	one := float64(a.module.At(morningSun, cold).OpenCircuit().Volts) / float64(a.wiring.Series)
	return max(one, float64(a.plate.Voc)*(1+a.plate.Beta*float64(cold-25)))
}

// breaking says what a wiring's switches must break and its fuse must carry.
func (a array) breaking(w match.Wiring, cold quantity.Celsius) string {
	return fmt.Sprintf("%.1f V DC; fuse and cable for %.1f A",
		float64(w.Series)*a.openVolts(cold), float64(w.Parallel)*match.Continuous*float64(a.plate.Isc))
}

// ratingsMean explains the figures of breaking.
const ratingsMean = "That is the open-circuit voltage on a cold bright morning, which switches, fuses and the thermal cut-out must be rated to break as direct current, and 1.25 times 1.25 the short-circuit current; or what your local code asks."

// remarks on a wiring that needs more care than another.
func (a array) remarks(w match.Wiring, cold quantity.Celsius) string {
	text := ""
	if w.Parallel >= 3 {
		text += match.StringFuses + "\n"
	}
	if volts := float64(w.Series) * a.openVolts(cold); volts > match.Deadly {
		text += fmt.Sprintf("%.0f V DC can kill at a touch: leave %v in series to an electrician.\n", volts, w.Series)
	}
	return text
}

// most is the most watts that an element must stand: in full sun, with warm cells or
// icy ones, or at the light asked about.
func (a array) most(r, cable quantity.Ohm, asked float64) float64 {
	for _, cell := range []quantity.Celsius{25, hardWinter} {
		asked = max(asked, workingPoint(a.module.At(morningSun, cell), r, cable).Power)
	}
	return asked
}

// printRatings prints what the parts must stand, without weather.
func (a array) printRatings(w io.Writer, h heater, cable quantity.Ohm, asked float64) {
	most := a.most(h.ohm, cable, asked)
	fmt.Fprintf(w, "In full sun the element must stand %.0f W; bright clouds give more for minutes, so allow a margin.\n", most)
	if over := h.over(most); over != "" {
		fmt.Fprintln(w, over)
	}
	fmt.Fprintf(w, "Must break and carry: %s.\n", a.breaking(a.wiring, hardWinter))
	fmt.Fprintf(w, "%s Without a weather file the cells are taken at %v.\n", ratingsMean, hardWinter)
	fmt.Fprint(w, a.remarks(a.wiring, hardWinter))
	fmt.Fprintln(w, "Use DC-rated switches and fuses, and a DC-rated thermal cut-out on the element. Panels in the sun cannot be turned off: cover them first.")
}
