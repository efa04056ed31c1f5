package match

import (
	"cmp"
	"slices"

	"duskloop/sensors/quantity"
)

// Label is what an element's says: so many watts at so many volts.
type Label struct {
	Watts quantity.Watt `json:"label_watt"`
	Volts quantity.Volt `json:"label_volt"`
}

// Ohm is its resistance.
func (l Label) Ohm() quantity.Ohm {
	return quantity.Ohm(float64(l.Volts) * float64(l.Volts) / float64(l.Watts))
}

// Sold are immersion elements for direct current as they are commonly sold (common
// practice, no source): look at the offers near you.
func Sold() []Label {
	var all []Label
	for _, x := range []struct {
		volts quantity.Volt
		watts []quantity.Watt
	}{
		{12, []quantity.Watt{50, 100, 150, 200, 300, 400, 600}},
		{24, []quantity.Watt{100, 150, 200, 300, 400, 500, 600, 900}},
		{36, []quantity.Watt{300, 500, 600}},
		{48, []quantity.Watt{300, 500, 600, 1000, 1500}},
	} {
		for _, w := range x.watts {
			all = append(all, Label{w, x.volts})
		}
	}
	return all
}

// Choice is an element on panels wired one way, over a season.
type Choice struct {
	Label
	Wiring
	Row
	Stand float64 `json:"must_stand_watt"` // for minutes, beside bright clouds (Stands)
	Fits  bool    `json:"fits"`            // the label covers that
}

// Choices are elements on the season's panels, which are wired as from, in every wiring of
// so many of them; those that take most first.
func (x *Season) Choices(from Wiring, panels int, elements []Label, cable quantity.Ohm) []Choice {
	var all []Choice
	for _, w := range Wirings(panels) {
		for _, e := range elements {
			stand := x.rewiredStand(from, w, e.Ohm(), cable)
			all = append(all, Choice{e, w, x.Rewired(from, w, e.Ohm(), cable), stand, stand <= float64(e.Watts)})
		}
	}
	slices.SortStableFunc(all, func(a, b Choice) int { return cmp.Compare(b.Energy, a.Energy) })
	return all
}
