package main

import (
	"fmt"
	"math"
	"strings"
	"text/tabwriter"

	"duskloop/sensors/quantity"
)

// printSeason prints the table and what it means, all of it from this season.
func (c *elementCommand) printSeason(s *session, x *season, rows []seasonRow, cable quantity.Ohm) error {
	tw := tabwriter.NewWriter(s.out, 0, 0, 3, ' ', tabwriter.AlignRight)
	fmt.Fprintln(tw, "element, ohm\tenergy, kWh\tof the panel's best\tmost, W\tat, V\t")
	top := rows[0]
	for _, r := range rows {
		fmt.Fprintf(tw, "%.2f\t%.2f\t%.1f %%\t%.1f\t%.1f\t\n", r.Resistance, r.Energy, r.MatchPct, r.MaxW, r.MaxV)
		if r.Energy > top.Energy {
			top = r
		}
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	if x.best <= 0 {
		fmt.Fprintln(s.out, "\nNo light falls on the panel in these months of the file.")
		return nil
	}
	fmt.Fprintf(s.out, "\nThe panel at its best point all the time would give %.2f kWh, %.0f Wh a day.\n", x.best, 1000*x.best/x.days)
	if len(rows) > 1 {
		fmt.Fprintf(s.out, "Of these elements %.2f ohm takes most.\n", top.Resistance)
	}
	fmt.Fprintln(s.out, c.meaning(x, rows[0], cable))
	return nil
}

// meaning says in words what an element makes of a season.
func (c *elementCommand) meaning(x *season, row seasonRow, cable quantity.Ohm) string {
	var b strings.Builder
	r := quantity.Ohm(row.Resistance)
	fmt.Fprintf(&b, "%.2f ohm takes %s of it: %.0f Wh a day. It must stand %.0f W at %.1f V, whatever is printed on it.\n",
		row.Resistance, about(row.Energy/x.best), 1000*row.Energy/x.days, row.MaxW, row.MaxV)
	x.squareLaw(&b, row, cable)
	best := x.bestElement(cable)
	switch {
	case row.Energy > 0.98*best.Energy:
		fmt.Fprintf(&b, "No other fixed resistance would take much more: the best is %.1f ohm with %.1f %%.\n", best.Resistance, best.MatchPct)
	default:
		fmt.Fprintf(&b, "Of all fixed resistances %.1f ohm would take most: %.1f %%, %.1f times the heat. It would have to stand %.0f W at %.1f V.\n",
			best.Resistance, best.MatchPct, best.Energy/row.Energy, best.MaxW, best.MaxV)
	}
	c.wires(&b, x, r, cable)
	b.WriteString("Before changing element or wiring: its rating must cover the watts and volts above, and switches, fuses and the thermal cut-out must be rated for that direct current. Panels in the sun cannot be turned off: cover them first.")
	return b.String()
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
func (x *season) squareLaw(b *strings.Builder, row seasonRow, cable quantity.Ohm) {
	r := quantity.Ohm(row.Resistance)
	less := x.dimmed(0.9)
	heat, best := less.row(r, cable).Energy/row.Energy, less.best/x.best
	power := math.Log(heat) / math.Log(0.9)
	law := fmt.Sprintf("grows with the sun to the power %.1f", power)
	if power > 1.75 {
		law = "follows the square of the sun"
	}
	side := "below"
	if row.Resistance > x.knee() {
		side = "above"
	}
	fmt.Fprintf(b, "Its heat %s: a tenth less light is %.0f %% less heat (of the panel's best %.0f %%). It is %s the panel's Vmp/Imp of %.2f ohm, under which a panel is a source of current.\n",
		law, 100*(1-heat), 100*(1-best), side, x.knee())
	bright, bestBright := x.above(600, r, cable)
	notDull, _ := x.above(200, r, cable)
	fmt.Fprintf(b, "Hours with 600 W/m2 and more on the panel bring %.0f %% of the heat (%.0f %% of the panel's best), those below 200 W/m2 %.0f %%.\n",
		100*bright, 100*bestBright, 100*(1-notDull))
}

// wires says what each wiring of the panels would take, or with one panel what a
// second would bring.
func (c *elementCommand) wires(b *strings.Builder, x *season, r, cable quantity.Ohm) {
	from := wiring{c.Series, c.Parallel}
	one := x.rewired(from, wiring{1, 1}, r, cable)
	n := max(from.panels(), 2)
	ways := wirings(n)
	top := ways[0]
	fmt.Fprintf(b, "%d such panels on %.2f ohm, against the heat from one:\n", n, float64(r))
	for _, w := range ways {
		row := x.rewired(from, w, r, cable)
		fmt.Fprintf(b, "  %d in series, %d in parallel: %.1f %% of their best, %.1f times, at most %.0f W at %.1f V\n",
			w.series, w.parallel, row.MatchPct, row.Energy/one.Energy, row.MaxW, row.MaxV)
		if row.Energy > x.rewired(from, top, r, cable).Energy {
			top = w
		}
	}
	fmt.Fprintf(b, "Most comes from %d in series, %d in parallel.\n", top.series, top.parallel)
}
