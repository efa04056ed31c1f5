package nightly

import (
	"fmt"
	"math"
	"strings"
)

// notes are what the figures lack, and the alerts.
func (p Printer) notes(n *Night) string {
	return strings.Join(append(p.lacks(n), alerted(n)...), "; ")
}

// alerted are the alerts, each with how long it was in force.
func alerted(n *Night) (parts []string) {
	for i := range n.Alerts {
		parts = append(parts, n.Alerts[i].name()+" "+lasting(n.Alerts[i].LastedS))
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
	for _, g := range n.Gaps {
		parts = append(parts, fmt.Sprintf("nothing from %s to %s", p.clock(&g.From), p.clock(&g.To)))
	}
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
