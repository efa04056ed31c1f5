package sizing

import (
	"cmp"
	"fmt"
	"slices"

	"duskloop/agent/config"
	"duskloop/sensors/quantity"
	"duskloop/sim/match"
)

// Heater is panels and element over the winter.
type Heater struct {
	Panels match.Wiring `json:"panels"`
	Now    match.Row    `json:"now"`
	Best   match.Row    `json:"best_resistance"` // of all there could be
	// Offer is the element that is sold whose label covers what it would see and which
	// takes most; null where none does.
	Offer   *match.Choice `json:"best_sold"`
	BestKWh float64       `json:"panel_best_kwh"` // at maximum power throughout
	// A day's heat into the tank, Wh: the element's, while nothing cuts it off.
	Mean   float64   `json:"day_mean_wh"`
	Median float64   `json:"day_median_wh"`
	Tenth  float64   `json:"day_worst_tenth_wh"` // one day in ten has this or less
	Days   []float64 `json:"days_wh"`
}

// wired is how the file's panels are wired: told by the label, else as one.
func wired(l *config.Loop) match.Wiring {
	if !l.Label.Given() {
		return match.Wiring{Series: 1, Parallel: 1}
	}
	return match.Wiring{Series: int(l.Label.Series), Parallel: int(l.Label.Parallel)}
}

// heater looks at panels and element in the winter's light.
func (s *Sketch) heater(x *Light) Heater {
	l := s.File.Loop()
	r, cable, w := l.Element.Resistance, l.Element.Cable, wired(l)
	h := Heater{Panels: w, Now: x.On(r, cable), Best: x.BestElement(cable), BestKWh: x.Best, Offer: offer(x.Season, w, w.Panels(), cable)}
	h.Days = x.Daily(r, cable)
	for len(h.Days) < s.Over.Days { // days without light
		h.Days = append(h.Days, 0)
	}
	sorted := slices.Sorted(slices.Values(h.Days))
	for _, e := range sorted {
		h.Mean += e / float64(len(sorted))
	}
	h.Median, h.Tenth = quantile(sorted, 0.5), quantile(sorted, 0.1)
	return h
}

// nearly is the share of the most heat, of all resistances there could be, that a smaller
// element may give up. Our choice.
const nearly = 0.98

// offer is the sold element, for so many of the season's panels, which are wired as from,
// whose label covers what it would see: of those that take nearly as much as any could,
// the one of fewest watts, and then of the least voltage to touch; else the one that
// takes most. Nil where no label covers it.
func offer(x *match.Season, from match.Wiring, panels int, cable quantity.Ohm) *match.Choice {
	fits := slices.DeleteFunc(x.Choices(from, panels, match.Sold(), cable), func(c match.Choice) bool { return !c.Fits })
	if len(fits) == 0 {
		return nil
	}
	enough := nearly * x.BestElement(cable).Energy * float64(panels) / float64(from.Panels())
	near := slices.DeleteFunc(slices.Clone(fits), func(c match.Choice) bool { return c.Energy < enough })
	if len(near) == 0 {
		return &fits[0]
	}
	least := slices.MinFunc(near, func(a, b match.Choice) int {
		return cmp.Or(cmp.Compare(a.Watts, b.Watts), cmp.Compare(a.Series, b.Series), cmp.Compare(b.Energy, a.Energy))
	})
	return &least
}

// keysOf are the file's keys for a choice of panels and element.
func keysOf(l *config.Loop, c *match.Choice) map[string]string {
	keys := map[string]string{"element.resistance": c.Ohm().String()}
	if l.Label.Given() {
		keys["element.in_series"] = fmt.Sprint(c.Series)
		keys["element.in_parallel"] = fmt.Sprint(c.Parallel)
	}
	return keys
}
