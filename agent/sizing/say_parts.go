package sizing

import (
	"fmt"
	"math"

	"duskloop/agent/config"
	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
)

// mixSection is the liquid against the winter's cold.
func (w *Worksheet) mixSection(t tongue) Section {
	x := &w.Tank
	s := Section{ID: "mix", Title: "The mix"}
	s.Says = append(s.Says, fmt.Sprintf("%v glycerin by weight: %s of water and %s of food-grade glycerin. It freezes at %s; the winter's coldest is %s outdoors and %s in the greenhouse. %s",
		x.Glycerin, t.litres(x.Water), t.litres(x.Pure), t.temp(x.Freezing), t.temp(x.Outdoors), t.temp(x.Indoors), frozen(x, t)))
	s.Says = append(s.Says, fmt.Sprintf("It boils at %s here. A litre of it holds %s less heat than a litre of water. A full tank holds %s from %s to the limit of %s.",
		t.temp(x.Boiling), percent(x.Less), t.heat(x.Stored), t.temp(w.Minimum), t.temp(float64(w.sketch.File.Loop().Tank.Hot))))
	s.Says = append(s.Says, "Never ethylene glycol: it is poisonous.")
	return s
}

// frozen judges the mix by the cold: pipes may lie where the greenhouse is coldest.
func frozen(x *Tank, t tongue) string {
	switch {
	case x.Freezing > x.Indoors:
		return "It can freeze there, and burst what holds it. " + stronger(x.Outdoors, t)
	case x.Freezing > x.Outdoors:
		need, err := fluid.Protecting(celsius(x.Outdoors))
		if err != nil {
			return "Where it is led outdoors it can freeze, and no mix offered here stands that cold: keep it indoors."
		}
		return fmt.Sprintf("Indoors that is enough in this winter; a pipe led outdoors would ask for %v. A harder winter may come: leave some margin.", need)
	case x.Freezing > x.Indoors-3:
		return "That is enough for this winter, with little margin for a harder one."
	}
	return "That is enough for this winter."
}

// margin is how far below the winter's coldest a mix should freeze. Our choice: the next
// winter may be harder.
const margin = 3

// stronger is the mix that stands the winter's coldest air outdoors and a margin.
func stronger(outdoors float64, t tongue) string {
	w, err := fluid.Protecting(celsius(outdoors - margin))
	if err != nil || w > fluid.MaxGlycerin {
		return fmt.Sprintf("No mix that is known here stands %s: drain it before such cold.", t.temp(outdoors-margin))
	}
	return fmt.Sprintf("Take %v glycerin by weight or more: that stands %s.", quantity.Share(math.Ceil(100*float64(w))/100), t.temp(outdoors-margin))
}

// vesselSection is pressure or evaporation.
func (w *Worksheet) vesselSection(t tongue) Section {
	x, l := &w.Tank, w.sketch.File.Loop()
	s := Section{ID: "vessel", Title: "The vessel"}
	switch {
	case x.Closed:
		s.Says = append(s.Says, "Closed. "+headspace(l)+x.Pressure)
		if !l.Tank.Relief {
			s.Says = append(s.Says, "It is described without a relief valve: it can burst, and what comes out scalds. Fit one, and leave room to expand, before you heat it.")
		} else {
			s.Says = append(s.Says, "Choose the relief valve well below what the vessel is rated for, and lead its outlet where nobody stands.")
		}
	case l.Model.OpenSurface > 0:
		s.Says = append(s.Says, fmt.Sprintf("Open: about %s of water leaves it in a week. Top it up with water, and keep the element covered: an element that is not covered burns.", t.litres(x.Gone)))
	default:
		s.Says = append(s.Says, "Covered and not sealed, by the file: little water leaves it. Look at the level all the same, and never seal it: a sealed vessel needs a relief valve and room to expand.")
	}
	return s
}

// headspace is the air in a closed vessel when it is filled.
func headspace(l *config.Loop) string {
	if l.Tank.Vessel <= l.Tank.Volume {
		return ""
	}
	return fmt.Sprintf("%s of it is air when it is filled cold, for the liquid to expand into. ", percent(1-float64(l.Tank.Volume/l.Tank.Vessel)))
}

// coilSection is what coil and fans give.
func (w *Worksheet) coilSection(t tongue) Section {
	s := Section{ID: "coil", Title: "Coil and fans", Head: []string{"tank at", "heat to the tunnel", "for a watt drawn", "air leaves at"}}
	s.Says = append(s.Says, fmt.Sprintf("With the tunnel at %s, pump and fans drawing %.0f W.", t.temp(w.Minimum), w.Coil.Draw))
	for _, r := range w.Coil.Rows {
		leaving := "-"
		if r.Leaving != nil {
			leaving = t.temp(*r.Leaving)
		}
		s.Rows = append(s.Rows, []string{t.temp(r.Tank), t.flow(r.Heat), fmt.Sprintf("%.0f W", r.PerWatt), leaving})
	}
	if n := len(w.Coil.Rows); n > 0 {
		s.After = append(s.After, fmt.Sprintf("That is %s, coil and pipes together. It stops being worth the watts when the tank is only %s warmer than the tunnel.", t.perDegree(w.Coil.Rows[n-1].PerK), t.diff(w.Coil.Stop)))
	}
	return s
}

// batterySection is the battery through the winter.
func (w *Worksheet) batterySection(t tongue) Section {
	b := &w.Battery
	s := Section{ID: "battery", Title: "Battery"}
	s.Says = append(s.Says, fmt.Sprintf("Full, it carries pump, fans and computer for %s down to its reserve, %s in the greenhouse's coldest of %s. A hard day takes %.0f Wh, and in the cold it has %.0f Wh: %s.",
		hours(b.Hours), hours(b.HoursCold), t.temp(b.ColdAt), b.HardDay, b.Cold, withoutSun(b.Nights)))
	s.Says = append(s.Says, fmt.Sprintf("Through the winter it falls to %s at the lowest and becomes full on %d of %d days. %s", percent(b.Lowest), b.Full, b.Days, b.enough()))
	s.Says = append(s.Says, "Fuse it close to its plus post. Vent lead-acid batteries; never charge LiFePO4 below freezing.")
	return s
}

// withoutSun says how many hard days it covers.
func withoutSun(days float64) string {
	if days < 1 {
		return "not enough for one such day without sun"
	}
	return fmt.Sprintf("enough for %.1f such days without sun", days)
}

// enough says whether its panel is.
func (b *Battery) enough() string {
	switch {
	case b.Unserved > 0:
		return fmt.Sprintf("Its panel is too small: the computer itself goes without for some of the winter (%.0f Wh).", b.Unserved)
	case b.Held >= 24:
		return fmt.Sprintf("For %s it stands at its reserve, and pump and fans have to wait; whether a larger panel or battery is worth it, \"What helps most\" says.", hours(b.Held))
	case b.Held > 0:
		return fmt.Sprintf("Its panel is enough but for %s at the reserve.", hours(b.Held))
	}
	return "Its panel is enough."
}

// cableSection is volts lost and fuses.
func (w *Worksheet) cableSection(t tongue) Section {
	s := Section{ID: "cables", Title: "Cables and fuses"}
	if len(w.Cables) == 0 {
		s.Says = []string{"No cable is told (section cables of the file: length, cross-section, and what it may carry)."}
		return s
	}
	s.Head = []string{"cable", "most that flows", "loses then", "fuse"}
	for _, c := range w.Cables {
		s.Rows = append(s.Rows, []string{
			fmt.Sprintf("%s, %s one way, %s", c.Way, t.length(c.Length), t.section(c.Section, false)),
			fmt.Sprintf("%.1f A", c.Most), fmt.Sprintf("%.2f V (%.1f %%)", c.Drop, c.DropPct), c.fuse(),
		})
		if c.DropPct > 100*little {
			s.After = append(s.After, fmt.Sprintf("The cable %s would need %s or more to lose 3 %%.", c.Way, t.section(c.Better, true)))
		}
	}
	if w.sketch.File.Loop().Cables.Element.Length > 0 {
		s.After = append(s.After, fmt.Sprintf("The heat in this sheet is reckoned with the element's cable as told here: write element.cable = %v into the file.", w.sketch.File.Loop().Element.Cable))
	}
	s.After = append(s.After, "A fuse protects the cable: it lies above the load and not above what the cable may carry, close to the battery's plus post or where the panels' strings join. Rated for direct current. Your local code decides, and asks where licensed trades must do it.")
	return s
}

// fuse in words.
func (c *Cable) fuse() string {
	switch {
	case c.Fuse == nil:
		return "none of the usual: ask a licensed electrician"
	case !c.Fits:
		return fmt.Sprintf("%g A, more than this cable carries: take a thicker one", *c.Fuse)
	case c.Carries == 0:
		return fmt.Sprintf("%g A for %.0f V DC, if the cable may carry that", *c.Fuse, math.Ceil(c.Breaks))
	}
	return fmt.Sprintf("%g A for %.0f V DC", *c.Fuse, math.Ceil(c.Breaks))
}

// cautions close the sheet.
func cautions(all []string) Section {
	return Section{ID: "cautions", Title: "Before you wire anything", Says: all}
}
