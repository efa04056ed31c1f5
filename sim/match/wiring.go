package match

import (
	"fmt"
	"math"

	"duskloop/sensors/quantity"
)

// Wiring is so many panels in series, so many such strings in parallel.
type Wiring struct{ Series, Parallel int }

// Panels in all.
func (w Wiring) Panels() int { return w.Series * w.Parallel }

func (w Wiring) perPanel() float64 { return float64(w.Parallel) / float64(w.Series) }

// String says the wiring in words.
func (w Wiring) String() string {
	return fmt.Sprintf("%d in series, %d in parallel", w.Series, w.Parallel)
}

// Wirings are all ways of wiring so many panels alike.
func Wirings(panels int) []Wiring {
	var all []Wiring
	for s := 1; s <= panels; s++ {
		if panels%s == 0 {
			all = append(all, Wiring{s, panels / s})
		}
	}
	return all
}

// rewiredStand is Stands, watts, on rewired panels.
func (x *Season) rewiredStand(from, to Wiring, r, cable quantity.Ohm) float64 {
	scale := quantity.Ohm(to.perPanel() / from.perPanel())
	watts, _ := x.Stands(r*scale, cable*scale)
	return watts * float64(to.Panels()) / float64(from.Panels())
}

// Rewired is what an element takes from the season's panels, which are wired as from,
// when they are wired another way or are fewer. Alike panels share the current or the
// voltage alike, so each of them sees the element times the parallel strings over the
// panels in series; from turns that into the resistance that the array as it is would
// see.
func (x *Season) Rewired(from, to Wiring, r, cable quantity.Ohm) Row {
	scale := quantity.Ohm(to.perPanel() / from.perPanel())
	row := x.On(r*scale, cable*scale)
	share := float64(to.Panels()) / float64(from.Panels())
	row.Resistance = float64(r)
	row.Energy *= share
	row.MaxW *= share
	row.MaxV = math.Sqrt(row.MaxW * float64(r))
	return row
}
