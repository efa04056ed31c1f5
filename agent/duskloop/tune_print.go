package main

import (
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/agent/tuning"
	"duskloop/sensors/quantity"
	"duskloop/sim/season"
	"duskloop/sim/tune"
)

// squaredIn is squared degree-hours in the grower's degrees, with their unit.
func squaredIn(k2h float64, u quantity.Units) string {
	unit, scale := agent.SquaredUnit(u)
	return fmt.Sprintf("%.0f %s", scale*k2h, unit)
}

// sumOf stretches.
func sumOf(all []season.Spent) (x season.Spent) {
	for _, m := range all {
		x = x.Plus(m)
	}
	return x
}

// printTuned tells what a search came to, for the crop first.
func printTuned(w io.Writer, b *tuning.Bench, f *config.File, x *tune.Found, changed map[string]string) {
	u := f.Site.Units
	printBelief(w, f)
	if len(changed) > 0 {
		fmt.Fprintf(w, "Today's settings are those that the daemon runs by, otherwise than the file: %s.\n\n", strings.Join(slices.Sorted(maps.Keys(changed)), ", "))
	}
	if x.Best == nil {
		fmt.Fprintf(w, "Leave the settings as they are: %s (%d sets were tried).\n\n", x.Why, len(x.Tried))
	} else {
		printSet(w, b, f, x)
	}
	printMonths(w, b, x, u)
	if len(x.Doubted) > 0 && x.Best != nil {
		var by []string
		for _, d := range x.Doubted {
			by = append(by, fmt.Sprintf("%.1f %%", 100*(d[0]-d[1])/max(d[0], 1e-9)))
		}
		fmt.Fprintf(w, "\nOn greenhouses drawn within what is not known of yours it was better each time, by %s.\n", strings.Join(by, ", "))
	}
	fmt.Fprintln(w, "\nSimulated winters are no promise. The tank's limits, the frost guard and the battery's cut-off were not touched; the independent\nthermal cut-out and the relief stay what protects people.")
}

// printBelief says which greenhouse was simulated.
func printBelief(w io.Writer, f *config.File) {
	if f.Path == "" {
		fmt.Fprint(w, "No file named: this is the demo's greenhouse. Use --greenhouse FILE for yours.\n\n")
	}
	if g := f.Fitted; g != nil {
		fmt.Fprintf(w, "By the greenhouse fitted on %s: %s.\n\n", g.Made.Format("2 Jan 2006"), g.Verdict(f.Site.Units))
		for _, x := range agent.OutdatedFit(f) {
			fmt.Fprintf(w, "Warning: %s\n\n", x)
		}
		return
	}
	fmt.Fprint(w, "By the greenhouse as the file describes it: fit it to your record first (duskloop fit), or this is a guess about a guess.\n\n")
}

// printSet tells the set, what each change is worth, and what is as good.
func printSet(w io.Writer, b *tuning.Bench, f *config.File, x *tune.Found) {
	u := f.Site.Units
	today, then, idle := sumOf(x.Today), sumOf(x.Then), sumOf(x.Idle)
	fmt.Fprintf(w, "Better on months that were not searched: %s below the crop's minimum in place of %s (%s without heat), %.2f kWh of the battery in place of %.2f, %.0f pump starts in place of %.0f.\n\n",
		squaredIn(then.Squared, u), squaredIn(today.Squared, u), squaredIn(idle.Squared, u), then.Battery, today.Battery, then.Starts, today.Starts)
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tw, "setting\ttoday\tbetter\tworth on the weather searched\tas good")
	for _, e := range x.Effects {
		as := "-"
		if e.Low < e.High {
			as = fmt.Sprintf("anything from %s to %s", b.Shown(e.Key, e.Low, u), b.Shown(e.Key, e.High, u))
		}
		better, worth := "stays", ""
		if e.From != e.To {
			better, worth = b.Shown(e.Key, e.To, u), worthIn(e.Worth, u)
		}
		if e.Tied {
			worth = "the others need it"
		}
		fmt.Fprintf(tw, "%s\t%s\t%s\t%s\t%s\n", e.Key, b.Shown(e.Key, e.From, u), better, worth, as)
	}
	_ = tw.Flush()
	fmt.Fprintf(w, "\nFor the greenhouse file, each line into the table of that name that is there (or --apply):\n\n%s\n", b.Snippet(x.Best))
}

// worthIn is a cost in the grower's squared degree-hours.
func worthIn(k2h float64, u quantity.Units) string { return squaredIn(math.Max(0, k2h), u) }

// printMonths tells the judged stretches one by one.
func printMonths(w io.Writer, b *tuning.Bench, x *tune.Found, u quantity.Units) {
	searched, judged := b.Halves()
	var names []string
	for _, m := range searched {
		names = append(names, b.Name(m))
	}
	fmt.Fprintf(w, "Searched on %s; judged on the others:\n\n", strings.Join(names, ", "))
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprint(tw, "month not searched\twithout heat\ttoday\t")
	if x.Best != nil {
		fmt.Fprint(tw, "better set\t")
	}
	fmt.Fprintln(tw)
	for i, m := range judged {
		fmt.Fprintf(tw, "%s\t%s\t%s\t", b.Name(m), squaredIn(x.Idle[i].Squared, u), squaredIn(x.Today[i].Squared, u))
		if x.Best != nil {
			fmt.Fprintf(tw, "%s\t", squaredIn(x.Then[i].Squared, u))
		}
		fmt.Fprintln(tw)
	}
	_ = tw.Flush()
}
