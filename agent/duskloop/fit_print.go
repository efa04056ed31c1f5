package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/agent/fitted"
	"duskloop/sensors/quantity"
)

// printFit tells a fit: each figure, how well its nights were foretold, what it rests on.
func printFit(w io.Writer, f *config.File, x agent.Fitted) error {
	g, u, zone := x.Greenhouse, f.Site.Units, time.Local
	fmt.Fprintf(w, "%s, fitted to its record from %s to %s: %d hours that could be used, %.0f %% of the nights' minutes are missing.\n\n",
		f.Site.Name, day(g.From.In(zone)), day(g.To.In(zone)), x.Result.Minutes/60, 100*x.Result.Lost)
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprint(tw, "figure\tby the file\tby the record\t95 % sure\t\n")
	for i := range g.Figures {
		y := &g.Figures[i]
		if y.Told {
			fmt.Fprintf(tw, "%s\t%s\t%s\t%s to %s\t\n", y.Name, figure(y, y.File), figure(y, y.Value), figure(y, y.Low), figure(y, y.High))
		} else {
			guess := ""
			if y.Value != y.File {
				guess = ", guess " + figure(y, y.Value)
			}
			fmt.Fprintf(tw, "%s\t%s\tnot told%s\t\t\n", y.Name, figure(y, y.File), guess)
		}
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	printSpeeds(w, g)
	printGuesses(w, g)
	printRefused(w, g)
	printNights(w, x, u, zone)
	printLeft(w, x)
	fmt.Fprintf(w, "\nVerdict: %s.\n", g.Verdict(u))
	fmt.Fprintln(w, "The tank's heat is by its litres, and every other figure goes with it: a volume wrong by 10 % makes them wrong by 10 %.\nThe intervals hold if record and model are right: a probe that reads wrong all the time moves them all.\nA fit is a model of some days. The independent thermal cut-out and the relief stay what protects people.")
	return nil
}

// figure is a value of a fitted greenhouse with its unit.
func figure(f *fitted.Figure, v float64) string {
	switch f.Unit {
	case "J/K":
		return fmt.Sprintf("%.4g kJ/K", v/1000)
	case "":
		return fmt.Sprintf("%.2f", v)
	case "share":
		return fmt.Sprintf("%.0f %%", 100*v)
	}
	return fmt.Sprintf("%.3g %s", v, f.Unit)
}

// printSpeeds tells the coil at other duties, where the record does.
func printSpeeds(w io.Writer, g *fitted.Greenhouse) {
	for _, f := range g.Figures {
		if f.Unit == "" && f.Told {
			fmt.Fprintf(w, "\nSlower, the coil gives less: at three quarters of the speed %.0f %% of its figure, at half %.0f %%, at a quarter %.0f %%.\n",
				100*math.Pow(0.75, f.Value), 100*math.Pow(0.5, f.Value), 100*math.Pow(0.25, f.Value))
		}
	}
}

// printGuesses says what a guess is for.
func printGuesses(w io.Writer, g *fitted.Greenhouse) {
	told := func(f fitted.Figure) bool { return f.Told }
	guessed := func(f fitted.Figure) bool { return !f.Told && f.Value != f.File }
	if slices.ContainsFunc(g.Figures, told) && slices.ContainsFunc(g.Figures, guessed) {
		fmt.Fprint(w, "\nA guess is what goes best with the figures that are told, and is simulated beside them: do not size anything by it.\n")
	}
}

// printRefused says what the record does not tell, why, and what would tell it; figures that
// are refused for one reason together.
func printRefused(w io.Writer, g *fitted.Greenhouse) {
	said := make(map[string]bool)
	for i, f := range g.Figures {
		if f.Told || said[f.Why] {
			continue
		}
		said[f.Why] = true
		names := []string{f.Name}
		for _, other := range g.Figures[i+1:] {
			if !other.Told && other.Why == f.Why {
				names = append(names, other.Name)
			}
		}
		if len(names) > 1 {
			fmt.Fprintf(w, "\nNot told: %s: %s.\n", strings.Join(names, ", "), f.Why)
			continue
		}
		fmt.Fprintf(w, "\n%s is not told: %s.\n", f.Name, f.Why)
		if f.Try != "" {
			fmt.Fprintf(w, "  To tell it: %s.\n", f.Try)
		}
	}
}

// printNights tells how each night was foretold by a fit of the others.
func printNights(w io.Writer, x agent.Fitted, u quantity.Units, zone *time.Location) {
	fmt.Fprintf(w, "\nEach night foretold from dusk to dawn by a fit that had not seen it; how far off (root mean square):\n")
	for _, n := range x.Result.Nights {
		at := x.Start.Add(time.Duration(n.Noon) * time.Minute).In(zone)
		fmt.Fprintf(w, "  %s  tunnel %s, tank %s\n", day(at), quantity.Kelvin(n.Air).In(u), quantity.Kelvin(n.Tank).In(u))
	}
	fmt.Fprintf(w, "  all: tunnel %s, tank %s. The tunnel's error goes with that of five minutes before by %.2f and of an hour before by %.2f: near 0 it is the probes' noise, near 1 something slow that the model misses.\n",
		quantity.Kelvin(x.Result.Air).In(u), quantity.Kelvin(x.Result.Tank).In(u), x.Result.Follows[0], x.Result.Follows[1])
}

// printLeft tells which nights and which readings were not believed.
func printLeft(w io.Writer, x agent.Fitted) {
	if x.Result == nil {
		return
	}
	for _, n := range x.Result.Left {
		at := x.Start.Add(time.Duration(max(n.Noon, 0)) * time.Minute).In(time.Local)
		fmt.Fprintf(w, "Left out: the night of %s: %s\n", day(at), n.Why)
	}
	for _, n := range x.Result.Stuck {
		fmt.Fprintf(w, "Not believed, from %s: %s\n", day(x.Start.Add(time.Duration(n.Noon)*time.Minute).In(time.Local)), n.Why)
	}
}

func day(t time.Time) string { return t.Format("Mon 2 Jan 2006") }
