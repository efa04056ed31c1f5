package sizing

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"duskloop/sim/season"
)

// answer is the first section: whether the crop is kept, what can hurt, and what to change
// first.
func (w *Worksheet) answer(t tongue) Section {
	s := Section{ID: "answer", Title: "Will it keep the crop above " + t.temp(w.Minimum) + "?"}
	s.Says = append(s.Says, w.verdict(t))
	s.Says = append(s.Says, w.dangers(t)...)
	if w.Without.Squared >= season.Worthwhile {
		s.Says = append(s.Says, fmt.Sprintf("On the coldest night (%s) the greenhouse falls to %s. Holding the tunnel at %s through it takes about %s through its cover; the tank heated to its limit holds %s.",
			w.Night.Day.Format("2 January"), t.temp(w.Night.House), t.temp(w.Minimum), t.heat(w.Night.Asked), t.heat(w.Tank.Stored)))
	}
	s.Says = append(s.Says, w.first())
	s.Says = append(s.Says, fmt.Sprintf("Weather: %s; %s. All of this is simulated, and no winter is like another: have cover or fleece at hand.", w.Weather, w.Winter))
	return s
}

// verdict in some sentences, by the way of spending the heat that the daemon has.
func (w *Worksheet) verdict(t tongue) string {
	p := &w.Planned
	nights := fmt.Sprintf("Of %d nights, %d stay above %s (to half a degree or so, as a probe tells it) with the pump at rest, and %d with its heat carried as duskloop plans it. The coldest tunnel air is %s at rest and %s with heat.",
		p.Nights, w.Without.Held, t.temp(w.Minimum), p.Held, t.temp(w.Without.Coldest), t.temp(p.Coldest))
	removed := 1 - p.Squared/max(w.Without.Squared, 1e-9)
	switch {
	case w.Without.Squared < season.Worthwhile:
		return "Yes, and next to no heater is needed for it: the covers alone keep the crop in this weather. " + nights
	case p.Held == p.Nights:
		return "Yes. " + nights
	case w.starved():
		return fmt.Sprintf("No. %s Pump and fans hardly run, because their battery is down: for %s it stands at its reserve or below. See to the battery and its panel first; what else is said of changes here rests on a flat battery.", nights, hours(w.Battery.Held))
	case removed >= 0.9 && p.Coldest >= w.Harm:
		return "Nearly. " + nights + " What is left of the cold is little."
	case removed >= 0.33:
		return fmt.Sprintf("Not by itself. %s The heater takes away %s of the cold. %s", nights, portion(removed), w.harmed(t))
	case removed >= 0.15:
		return fmt.Sprintf("No. %s The heater takes away only %s of the cold. %s", nights, portion(removed), w.harmed(t))
	}
	return fmt.Sprintf("No. %s So little heat cannot protect so large a tunnel: it takes away %s of the cold. %s", nights, portion(max(removed, 0)), w.harmed(t))
}

// harmed says what the coldest night does to the crop.
func (w *Worksheet) harmed(t tongue) string {
	if w.Planned.Coldest >= w.Harm {
		return fmt.Sprintf("No night is as cold as %s, below which it does lasting harm.", t.temp(w.Harm))
	}
	return fmt.Sprintf("Hard nights fall below %s, where cold does lasting harm: have another heat or cover for them.", t.temp(w.Harm))
}

// starved says that the pump hardly ran for want of the battery: for a month and more.
func (w *Worksheet) starved() bool { return w.Battery.Held >= 30*24 }

// first is what to change first.
func (w *Worksheet) first() string {
	if w.With.Squared < season.Worthwhile || w.Planned.Held == w.Planned.Nights {
		return "Nothing needs to be changed for the crop's sake."
	}
	if len(w.Levers) == 0 {
		return "No change was tried."
	}
	top := &w.Levers[0]
	if !top.helps() {
		return "Of all that was tried nothing takes away much of the cold that is left."
	}
	text := fmt.Sprintf("What would help most: %s. That takes away %s of the cold that is left.", top.Name, portion(*top.Gain))
	if len(w.Together) > 0 && w.Together[0].helps() {
		text += fmt.Sprintf(" Together, %s: %s of it.", w.Together[0].Name, portion(*w.Together[0].Gain))
	}
	return text
}

// dangers must be seen to before anything else.
func (w *Worksheet) dangers(t tongue) (all []string) {
	if w.With.TooHot > 0 || w.Heat.Steam > 0 {
		all = append(all, w.hot(t))
	}
	if !w.Heater.Labelled {
		all = append(all, "Beware: the label of the element's panels is not told (element.voc, isc, vmp, imp, cells), so a usual 12 V panel of that power is taken. Of any other panel the volts and watts here are wrong, by a factor of two or more, and no element is chosen. Write the label into the file before you buy.")
	}
	if w.Tank.Freezing > w.Tank.Indoors {
		all = append(all, fmt.Sprintf("Beware: the mix freezes at %s and the greenhouse comes to %s. %s", t.temp(w.Tank.Freezing), t.temp(w.Tank.Indoors), stronger(w.Tank.Outdoors, t)))
	}
	if l := w.sketch.File.Loop(); w.Tank.Closed && !bool(l.Tank.Relief) {
		all = append(all, "Beware: the tank is closed and has no relief valve: it can burst. See \"The vessel\".")
	}
	return all
}

// hot says how often the tank is too hot, and what that means.
func (w *Worksheet) hot(t tongue) string {
	text := fmt.Sprintf("Beware: the tank comes to %s and is too hot (tank.hot) for %s of the winter.", t.temp(w.With.Hottest), hours(w.With.TooHot))
	if w.Heat.Steam > 0 {
		text += " It boils. Hot liquid scalds; a sealed vessel can burst."
	}
	return text + " The panel is wired straight to the element and no program can be trusted to cut it: fit an independent thermal cut-out and, on a closed vessel, a relief valve."
}

// "Cold" in what is read aloud means squared degree-hours; this says so once.
const meaning = "\"Cold\" counts each hour by the square of the degrees that the tunnel is below the crop's minimum: an hour 4 degrees too cold counts as much as sixteen hours 1 degree too cold."

// seasonSection is the winter without heat and with it.
func (w *Worksheet) seasonSection(t tongue) Section {
	row := func(name string, of func(o *season.Outcome) string) []string {
		return []string{name, of(&w.Without), of(&w.With), of(&w.Planned)}
	}
	s := Section{ID: "winter", Title: "The winter", Says: []string{meaning}, Head: []string{"", "pump at rest", "by " + w.Policy, "as planned"}}
	s.Rows = [][]string{
		row("nights above "+t.temp(w.Minimum), func(o *season.Outcome) string { return fmt.Sprintf("%d of %d", o.Held, o.Nights) }),
		row("coldest tunnel air", func(o *season.Outcome) string { return t.temp(o.Coldest) }),
		row("cold", func(o *season.Outcome) string { return t.squared(o.Squared) }),
		row("tunnel below freezing", func(o *season.Outcome) string { return hours(o.Frost) }),
		row("tank too hot", func(o *season.Outcome) string { return hours(o.TooHot) }),
		row("hottest tank", func(o *season.Outcome) string { return t.temp(o.Hottest) }),
	}
	s.After = []string{w.whereHeatWent(t), fmt.Sprintf("By %s, %s; as planned, the way that duskloop runs, with its limits and probes. The element heats in all three. The changes are compared by %s.", w.Policy, spending[w.Policy], w.Policy)}
	return s
}

// whereHeatWent is the winter's heat, by the policy.
func (w *Worksheet) whereHeatWent(t tongue) string {
	h := &w.Heat
	text := fmt.Sprintf("Heat of the winter, by %s: %s into the tank, %s of it to the tunnel, %s lost to the greenhouse standing", w.Policy, t.heat(h.Into), t.heat(max(h.Tunnel, 0)), t.heat(h.Lost))
	if h.Vapour+h.Steam > 0.02*h.Into {
		text += fmt.Sprintf(", %s gone with water that evaporates", t.heat(h.Vapour+h.Steam))
	}
	text += "."
	if h.Able > 1.05*h.Into {
		text += fmt.Sprintf(" The element could have given %s: for the rest of the time the thermal cut-out was open.", t.heat(h.Able))
	}
	return text
}

// spending says how a policy spends heat.
var spending = map[string]string{
	season.PolicyFloor:      "the highest tunnel air is held that lasts until morning",
	season.PolicyThermostat: "a thermostat in the tunnel starts the pump, and empties the tank early on a cold night",
}

// helpsSection ranks the changes.
func (w *Worksheet) helpsSection(t tongue) Section {
	s := Section{ID: "changes", Title: "What helps most", Head: []string{"change", "nights held", "cold left", "takes away"}}
	if w.With.Squared < season.Worthwhile {
		s.Says = []string{"The crop is kept as it is: there is next to no cold left that a change could take away."}
		return s
	}
	s.Says = []string{"Each change alone through the whole winter, then the best together. Prices are yours to know."}
	add := func(x *Lever) {
		s.Rows = append(s.Rows, []string{x.Name, fmt.Sprintf("%d of %d", x.Held, x.Nights), t.squared(x.Squared), gained(x.Gain)})
	}
	var alone, worse []string
	for i := range w.Levers {
		if x := &w.Levers[i]; x.helps() {
			add(x)
		} else if x.Gain != nil && *x.Gain <= -worthIt {
			worse = append(worse, fmt.Sprintf("%s (%s)", x.Name, gained(x.Gain)))
		} else {
			alone = append(alone, fmt.Sprintf("%s (%s)", x.Name, gained(x.Gain)))
		}
	}
	s.Rows = append(s.Rows, []string{"as it is", fmt.Sprintf("%d of %d", w.With.Held, w.With.Nights), t.squared(w.With.Squared), ""})
	for i := range w.Together {
		add(&w.Together[i])
	}
	if len(alone) > 0 {
		s.After = append(s.After, "Leave alone: they bring little here. "+sentence(list(alone)))
	}
	if len(worse) > 0 {
		s.After = append(s.After, "These make it worse: "+list(worse)+".")
	}
	s.After = append(s.After, notes(w.Levers)...)
	return s
}

// gained in words; a dash where nothing could be gained.
func gained(g *float64) string {
	if g == nil {
		return "-"
	}
	if math.Abs(*g) < 0.005 {
		return "nothing"
	}
	return percent(*g)
}

// notes are what must be known of the changes that help.
func notes(levers []Lever) (all []string) {
	for i := range levers {
		x := &levers[i]
		if !x.helps() {
			continue
		}
		var keys []string
		for _, k := range slices.Sorted(maps.Keys(x.Keys)) {
			keys = append(keys, k+" = "+x.Keys[k])
		}
		text := x.Name + ": "
		if x.Why != "" {
			text += x.Why + "; "
		}
		all = append(all, sentence(text+"in the file "+strings.Join(keys, ", ")))
	}
	return all
}
