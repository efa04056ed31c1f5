package nightly

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// notes are what the figures lack, and the alerts.
func (p Printer) notes(n *Night) string {
	return strings.Join(append(p.lacks(n), alerted(n)...), "; ")
}

// mostNamed alerts of a night are named. Our choice: a bad night has a dozen, and the gravest
// must be found among them.
const mostNamed = 5

// alerted are the alerts, each with how long it was in force: all of them, or the gravest and
// how many more there are.
func alerted(n *Night) (parts []string) {
	named := n.Alerts
	if len(named) > mostNamed {
		named = slices.Clone(named)
		slices.SortStableFunc(named, func(a, b Alert) int {
			return cmp.Or(cmp.Compare(a.Severity, b.Severity), cmp.Compare(b.LastedS, a.LastedS))
		})
		named = named[:mostNamed]
	}
	for i := range named {
		parts = append(parts, named[i].name()+" "+lasting(named[i].LastedS))
	}
	if more := len(n.Alerts) - len(named); more == 1 {
		parts = append(parts, "one lesser alert")
	} else if more > 1 {
		parts = append(parts, fmt.Sprintf("%d lesser alerts", more))
	}
	return parts
}

// lacks is what the figures lack.
func (p Printer) lacks(n *Night) (parts []string) {
	if n.Running {
		parts = append(parts, "still running")
	}
	switch {
	case n.RecordedPct == 0:
		return append(parts, "nothing recorded")
	case !n.Whole():
		parts = append(parts, fmt.Sprintf("only %.0f %% recorded", n.RecordedPct))
	}
	parts = append(parts, p.missing(n.Gaps)...)
	if n.HeatUnseenS > 0 {
		parts = append(parts, "heat of "+lasting(n.HeatUnseenS)+" of running not known")
	}
	if h := n.To.Sub(n.From).Hours(); h != 24 {
		parts = append(parts, fmt.Sprintf("%.0f hours: the clock was changed", h))
	}
	if n.TwinSilent != "" {
		parts = append(parts, "no twin: "+n.TwinSilent)
	}
	return parts
}

// mostGaps of a night are told one by one. Our choice: a cable that comes loose leaves a
// hundred, and no one reads them.
const mostGaps = 3

// missing are the gaps one by one, or how many there are and which is the longest.
func (p Printer) missing(gaps []Gap) (parts []string) {
	if len(gaps) <= mostGaps {
		for _, g := range gaps {
			parts = append(parts, fmt.Sprintf("nothing from %s to %s", p.clock(&g.From), p.clock(&g.To)))
		}
		return parts
	}
	long := longestOf(gaps, 1)[0]
	return []string{fmt.Sprintf("%d gaps, %s in all, the longest %s from %s",
		len(gaps), lasting(lost(gaps)), lasting(long.lasted().Seconds()), p.clock(&long.From))}
}

func (g *Gap) lasted() time.Duration { return g.To.Sub(g.From) }

// lost is for how long nothing was recorded, in seconds.
func lost(gaps []Gap) (seconds float64) {
	for i := range gaps {
		seconds += gaps[i].lasted().Seconds()
	}
	return seconds
}

// longestOf are so many of the longest gaps, or all, as they came.
func longestOf(gaps []Gap, most int) []Gap {
	all := slices.Clone(gaps)
	slices.SortStableFunc(all, func(a, b Gap) int { return cmp.Compare(b.lasted(), a.lasted()) })
	all = all[:min(most, len(all))]
	slices.SortFunc(all, func(a, b Gap) int { return a.From.Compare(b.From) })
	return all
}

// lasting is a length of time to the minute.
func lasting(seconds float64) string {
	m := int(math.Round(seconds / 60))
	switch {
	case m == 0:
		return "under a minute"
	case m < 60:
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %02d min", m/60, m%60)
}
