package sizing

import (
	"fmt"

	"duskloop/sim/match"
)

// heaterSection is panels and element.
func (w *Worksheet) heaterSection(t tongue) Section {
	h := &w.Heater
	s := Section{ID: "heater", Title: "Panel and element"}
	taken := h.Now.MatchPct / 100
	s.Says = append(s.Says, fmt.Sprintf("%s Over the winter the element takes %s of what the panels could give: %.0f of %.0f kWh.",
		matched(h.Now.Energy/h.Best.Energy), portion(taken), h.Now.Energy, h.BestKWh))
	s.Says = append(s.Says, fmt.Sprintf("Heat that it could bring, were it never cut off: %s on the mean day, %s on the median one; one day in ten brings %s or less.",
		t.heat(h.Mean), t.heat(h.Median), t.heat(h.Tenth)))
	s.Head = []string{"element", "winter's heat", "of the panels' best", "winter's highest, at"}
	now := w.sketch.File.Loop().Element.Resistance
	s.Rows = append(s.Rows, []string{fmt.Sprintf("as it is: %v", now), t.heat(1000 * h.Now.Energy), percent(taken), fmt.Sprintf("%.0f W, %.0f V", h.Now.MaxW, h.Now.MaxV)})
	s.Rows = append(s.Rows, []string{fmt.Sprintf("best of all: %.2f ohm", h.Best.Resistance), t.heat(1000 * h.Best.Energy), percent(h.Best.MatchPct / 100), fmt.Sprintf("%.0f W, %.0f V", h.Best.MaxW, h.Best.MaxV)})
	if o := h.Offer; o != nil {
		name := fmt.Sprintf("sold as %.0f W at %.0f V: %v", float64(o.Watts), float64(o.Volts), o.Ohm())
		if o.Panels() > 1 {
			name += ", panels " + o.Wiring.String()
		}
		s.Rows = append(s.Rows, []string{name, t.heat(1000 * o.Energy), percent(o.MatchPct / 100), fmt.Sprintf("%.0f W, %.0f V", o.MaxW, o.MaxV)})
	}
	s.After = append(s.After, w.label())
	s.After = append(s.After, w.breaking()...)
	s.After = append(s.After, "Before you touch panel or element: cover the panels first, for in the sun they cannot be turned off, and use switches and fuses rated for direct current. An element that is not covered by liquid burns.")
	return s
}

// matched says in plain words how well an element suits its panels: of the best
// resistance's heat it takes a share.
func matched(share float64) string {
	switch {
	case share >= 0.97:
		return "Panel and element suit each other."
	case share >= 0.85:
		return "Panel and element suit each other well enough."
	case share >= 0.6:
		return "Panel and element do not suit each other well."
	}
	return "Panel and element are badly matched: most of what the panel could give never becomes heat."
}

// label is what the element's must say.
func (w *Worksheet) label() string {
	h := &w.Heater
	text := fmt.Sprintf("The element as it is must stand %.0f W (%.0f V across it): beside bright clouds the sun is a quarter stronger for minutes, and this is reckoned so. Its label must not say less.", h.Stand, h.StandV)
	switch {
	case !h.Labelled:
		return text + " That is of a usual 12 V panel: without your panels' label it is a guess, and no element is chosen."
	case h.Offer == nil:
		return text + " No single element that is commonly sold stands what these panels give: two alike elements side by side, or a specialist, may."
	}
	return text + fmt.Sprintf(" The sold one must stand %.0f W.", h.Offer.Stand)
}

// breaking says what switches, cut-out and fuse of the panels must be made for.
func (w *Worksheet) breaking() []string {
	h := &w.Heater
	all := []string{fmt.Sprintf("Switches, contactor, thermal cut-out and fuse of these panels must break %.0f V DC (no load, cold bright morning); fuse and cable carry %.1f A at least, or what your local code asks. A vehicle's blade fuse is made for 32 V (from memory): look for the volts on yours.", h.OpenV, h.FuseA)}
	if h.Panels.Parallel >= 3 {
		all = append(all, match.StringFuses)
	}
	if h.OpenV > match.Deadly {
		all = append(all, fmt.Sprintf("%.0f V DC can kill at a touch: leave this wiring to a licensed electrician.", h.OpenV))
	}
	return all
}

// heatSection is how the tank heats up.
func (w *Worksheet) heatSection(t tongue) Section {
	s := Section{ID: "heating", Title: "How the tank heats up", Head: []string{"", "sun on the panels", "from", "highest", "at " + t.temp(w.Warm) + " after", "without loss"}}
	s.Says = append(s.Says, "Three days of the dark months, by the heat that the element takes: one day in ten is better than the clear one, and one in ten worse than the overcast one. From sunrise, the tank as cold as the greenhouse, the pump at rest. Without loss is how calculators reckon.")
	for _, h := range w.HeatUps {
		s.Rows = append(s.Rows, []string{h.Sky + " day", t.sun(h.Sun), t.temp(h.Cold), t.temp(h.Highest), orNever(h.Until, "not that day"), orNever(h.UntilLossless, "not that day")})
	}
	for _, x := range w.Steady {
		s.After = append(s.After, fmt.Sprintf("At %s, %.0f W without a pause: %s from %s to %s by the sum without loss (mass x specific heat x difference / power), %s with the tank's own loss.",
			x.What, x.Watts, hours(x.LossFree), t.temp(x.From), t.temp(x.To), orNever(x.WithLoss, "never")))
	}
	return s
}
