package main

import (
	"fmt"
	"io"
	"text/tabwriter"
	"time"

	"duskloop/agent"
	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

// printPreview prints a night a line, in the grower's units, and below that what the change
// would have done.
func printPreview(out io.Writer, p *wire.Preview) error {
	var u quantity.Units
	if err := u.Set(p.Units); err != nil {
		return fmt.Errorf("the daemon's preview: %w", err)
	}
	for _, x := range p.Changes {
		if x.From == x.To {
			fmt.Fprintf(out, "%s: %s, as it is set already\n", x.Key, x.From)
			continue
		}
		fmt.Fprintf(out, "%s: %s -> %s (nothing is changed yet)\n", x.Key, x.From, x.To)
	}
	if len(p.Nights) > 0 {
		fmt.Fprintln(out)
		if err := printPreviewed(out, p, u); err != nil {
			return err
		}
	}
	fmt.Fprintln(out)
	printParagraphs(out, previewBelow(p))
	return nil
}

// printPreviewed prints the nights.
func printPreviewed(out io.Writer, p *wire.Preview, u quantity.Units) error {
	unit, scale := agent.SquaredUnit(u)
	t := tabwriter.NewWriter(out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "night of\tcoldest,\tlived\twith the\tcold,\twith the\tbattery,\twith the\t")
	fmt.Fprintln(t, "\trecorded\tagain\tchange\tlived again\tchange\tlived again\tchange\t")
	for _, n := range p.Nights {
		temp := func(c float64) string { return quantity.Celsius(c).In(u) }
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%.0f %s\t%.0f %s\t%.0f Wh\t%.0f Wh\t\n",
			dayOf(n.Night), temp(n.RecordedC), temp(n.AgainC), temp(n.ThenC), scale*n.AgainK2h, unit, scale*n.ThenK2h, unit, n.AgainWh, n.ThenWh)
	}
	return t.Flush()
}

// dayOf a date, as Thu 15 Jan.
func dayOf(date string) string {
	if t, err := time.Parse(time.DateOnly, date); err == nil {
		return t.Format("Mon 2 Jan")
	}
	return date
}

// previewBelow is what is said below the nights.
func previewBelow(p *wire.Preview) []string {
	all := []string{p.Words}
	if len(p.Nights) > 0 {
		all[0] += " Lived again on " + twinWords(p) + "."
	}
	all = append(all, agent.LeftOutWords(p)...)
	if p.Tonight != "" {
		all = append(all, p.Tonight)
	}
	return all
}

// twinWords say which greenhouse it was.
func twinWords(p *wire.Preview) string {
	switch {
	case p.Twin == wire.TwinFitted && p.FittedOn != nil:
		return "the greenhouse as it was fitted on " + p.FittedOn.Format("2 Jan 2006")
	case p.Twin == wire.TwinLearned:
		return "the greenhouse as it was learned while running"
	}
	return "the greenhouse file's own figures, which nothing has been learned to better yet"
}
