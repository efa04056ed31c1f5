package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"duskloop/sensors/quantity"
	"duskloop/sim/match"
)

// seasonReport is what a season means for elements and panels, in words.
type seasonReport struct {
	season  *litSeason
	array   array
	heaters []heater
	rows    []match.Row // of each heater
	cable   quantity.Ohm
}

// print prints the table and what it means, all of it from this season.
func (p seasonReport) print(w io.Writer) error {
	x := p.season
	distrust(w, x.doubts)
	if err := p.table(w); err != nil {
		return err
	}
	if x.cover.short() {
		fmt.Fprintf(w, "\nBeware: %s.\n", x.cover)
	}
	if x.Best <= 0 {
		fmt.Fprintln(w, "\nNo light falls on the panel in these months of the file.")
		return nil
	}
	fmt.Fprintf(w, "\nThe panel at its best point all the time would give %.2f kWh, %.0f Wh a day.\n", x.Best, 1000*x.Best/x.Days)
	fmt.Fprint(w, p.top())
	fmt.Fprintln(w, p.meaning())
	return nil
}

func (p seasonReport) table(w io.Writer) error {
	tw := tabwriter.NewWriter(w, 0, 0, 3, ' ', tabwriter.AlignRight)
	fmt.Fprintln(tw, "element, ohm\tenergy, kWh\tof the panel's best\tmost, W\tat, V\t")
	for _, r := range p.rows {
		fmt.Fprintf(tw, "%.2f\t%.2f\t%.1f %%\t%.1f\t%.1f\t\n", r.Resistance, r.Energy, r.MatchPct, r.MaxW, r.MaxV)
	}
	return tw.Flush()
}

// top names the element that takes most of several, and what is above its label.
func (p seasonReport) top() string {
	if len(p.rows) < 2 {
		return ""
	}
	var b strings.Builder
	best := 0
	for k, r := range p.rows {
		if r.Energy > p.rows[best].Energy {
			best = k
		}
	}
	fmt.Fprintf(&b, "Of these elements %.2f ohm takes most.\n", p.rows[best].Resistance)
	for k, h := range p.heaters {
		if over := h.over(p.rows[k].MaxW); over != "" {
			fmt.Fprintf(&b, "With %.2f ohm %s\n", float64(h.ohm), over)
		}
	}
	return b.String()
}

// meaning says what the first element makes of the season, and what wiring does.
func (p seasonReport) meaning() string {
	var b strings.Builder
	x, row := p.season, p.rows[0]
	fmt.Fprintf(&b, "%.2f ohm takes %s of it: %.0f Wh a day. ", row.Resistance, about(row.Energy/x.Best), 1000*row.Energy/x.Days)
	p.mustStand(&b)
	x.squareLaw(&b, row, p.cable)
	best := x.BestElement(p.cable)
	switch {
	case row.Energy > 0.98*best.Energy:
		fmt.Fprintf(&b, "No other fixed resistance would take much more: the best is %.1f ohm with %.1f %%.\n", best.Resistance, best.MatchPct)
	default:
		fmt.Fprintf(&b, "Of all fixed resistances %.1f ohm would take most: %.1f %%, %.1f times the heat. Its label would have to say more than %.0f W at %.1f V.\n",
			best.Resistance, best.MatchPct, best.Energy/row.Energy, best.MaxW, best.MaxV)
	}
	p.wires(&b)
	p.ratings(&b)
	b.WriteString("Before changing element or wiring: the element's label must cover the watts and volts above with a margin. Panels in the sun cannot be turned off: cover them first.")
	return b.String()
}

// mustStand says what the first element's label must cover.
func (p seasonReport) mustStand(b *strings.Builder) {
	h, row := p.heaters[0], p.rows[0]
	fmt.Fprintf(b, "It must stand %.0f W at %.1f V and more: these are means over %s, and bright clouds give more for minutes, so allow a margin.\n",
		row.MaxW, row.MaxV, quantity.Span(p.season.step))
	switch over := h.over(row.MaxW); {
	case over != "":
		fmt.Fprintln(b, over)
	case h.label == 0:
		b.WriteString("Hold that against the power on its label, which a resistance does not tell (with --rated and --rated-at it is done here).\n")
	}
}

// about is a share in words where it is near one that has a name.
func about(share float64) string {
	for _, x := range []struct {
		of   float64
		name string
	}{{0.25, "about a quarter"}, {1. / 3, "about a third"}, {0.5, "about half"}, {2. / 3, "about two thirds"}, {0.75, "about three quarters"}} {
		if math.Abs(share-x.of) < 0.025 {
			return fmt.Sprintf("%s (%.1f %%)", x.name, 100*share)
		}
	}
	return fmt.Sprintf("%.1f %%", 100*share)
}

// squareLaw says how the heat follows the light: by the season run again with a tenth
// less of it, and by the hours that bring the heat.
func (x *litSeason) squareLaw(b *strings.Builder, row match.Row, cable quantity.Ohm) {
	r := quantity.Ohm(row.Resistance)
	less := x.Dimmed(0.9)
	heat, best := less.On(r, cable).Energy/row.Energy, less.Best/x.Best
	power := math.Log(heat) / math.Log(0.9)
	law := fmt.Sprintf("grows with the sun to the power %.1f", power)
	if power > 1.75 {
		law = "follows the square of the sun"
	}
	side := "below"
	if row.Resistance > x.Knee() {
		side = "above"
	}
	fmt.Fprintf(b, "Its heat %s: a tenth less light is %.0f %% less heat (of the panel's best %.0f %%). It is %s the panel's Vmp/Imp of %.2f ohm, under which a panel is a source of current.\n",
		law, 100*(1-heat), 100*(1-best), side, x.Knee())
	bright, bestBright := x.Above(600, r, cable)
	notDull, _ := x.Above(200, r, cable)
	fmt.Fprintf(b, "Hours with 600 W/m2 and more on the panel bring %.0f %% of the heat (%.0f %% of the panel's best), those below 200 W/m2 %.0f %%.\n",
		100*bright, 100*bestBright, 100*(1-notDull))
}
