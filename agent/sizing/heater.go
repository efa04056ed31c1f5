package sizing

import (
	"cmp"
	"fmt"
	"slices"

	"duskloop/agent/config"
	"duskloop/sensors/quantity"
	"duskloop/sim/match"
	"duskloop/sim/season"
)

// Heater is panels and element over the winter.
type Heater struct {
	Panels   match.Wiring `json:"panels"`
	Labelled bool         `json:"panels_labelled"` // else a usual 12 V panel of the power is taken
	Now      match.Row    `json:"now"`
	Best     match.Row    `json:"best_resistance"` // of all there could be
	Stand    float64      `json:"must_stand_watt"` // for minutes, beside bright clouds
	StandV   float64      `json:"must_stand_volt"`
	// What switches must break, and fuse and cable of the panels must carry, by cells in the
	// winter's cold.
	OpenV float64 `json:"open_volt"`
	FuseA float64 `json:"fuse_at_least_a"`
	// Offer is the element that is sold whose label covers what it would see and which
	// takes most; null where none does, or where the panels' label is not told.
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
	h := Heater{Panels: w, Labelled: l.Label.Given(), Now: x.On(r, cable), Best: x.BestElement(cable), BestKWh: x.Best}
	h.Stand, h.StandV = x.Stands(r, cable)
	if h.Labelled {
		h.Offer = offer(x.Season, w, w.Panels(), cable)
	}
	h.OpenV, h.FuseA = s.breaks(x.coldest)
	for _, d := range x.days {
		h.Days = append(h.Days, d.heat)
	}
	sorted := slices.Sorted(slices.Values(h.Days))
	for _, e := range sorted {
		h.Mean += e / float64(len(sorted))
	}
	h.Median, h.Tenth = season.Quantile(sorted, 0.5), season.Quantile(sorted, 0.1)
	return h
}

// breaks is the voltage of the panels without load on a cold bright morning, and the
// current that fuse and cable must carry.
func (s *Sketch) breaks(coldest quantity.Celsius) (volts, amps float64) {
	m, err := s.house.Plant.Element.Panel.Module()
	if err != nil {
		return 0, 0 // the house was built of it
	}
	l, cold := s.File.Loop(), min(coldest, match.Frosty)
	volts = float64(m.At(1000, cold).OpenCircuit().Volts)
	if l.Label.Given() { // or straight by the label's coefficient, whichever is more
		volts = max(volts, float64(l.Label.Series)*float64(l.Label.Voc)*(1+float64(l.Label.Beta)*float64(cold-25)))
	}
	return volts, match.Continuous * float64(m.At(1000, 25).ShortCircuit().Amps)
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
