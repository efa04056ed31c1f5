package nightly

import (
	"fmt"
	"math"

	"duskloop/sensors/quantity"
)

// Below are the sentences under the nights: what is missing of each and its alerts, what they come
// to, how that is reckoned, and what is left out of it.
func (p Printer) Below(all []Night) (lines []string) {
	for i := range all {
		if notes := p.notes(&all[i]); notes != "" {
			lines = append(lines, all[i].night(p.Zone)+": "+notes+".")
		}
	}
	if len(lines) > 0 {
		lines = append(lines, "")
	}
	t := totals(all)
	if t.nights > 0 {
		unit := "K²h"
		if p.Units == quantity.US {
			unit = "°F²h"
		}
		lines = append(lines, fmt.Sprintf("In %s, %.0f %s came below the crop's minimum. The twin has %.0f as it ran and %.0f without heat: %.0f avoided. Its own error stands in both and is not counted as heat's; night by night it is off what came by %.0f.",
			counted(t.nights), p.scale()*t.came, unit, p.scale()*t.ran, p.scale()*t.without, p.scale()*t.avoided, p.scale()*t.off))
	}
	switch left := len(all) - t.nights; {
	case left > 0 && t.nights > 0:
		lines = append(lines, fmt.Sprintf("Not in that sum: %s of which the twin cannot say what heat avoided.", counted(left)))
	case left > 0:
		lines = append(lines, fmt.Sprintf("Of %s the twin cannot say what heat avoided.", counted(left)))
	}
	lines = append(lines,
		"Without heat: that one night at rest, begun as it stood. Tank gave: its fall from dusk to dawn, less its standing loss. By the coil: its conductance times tank less tunnel while pump and fans ran, noon to noon, without what stayed in the pipes; gathered: from a warm tunnel into the tank. Pump and fans: by the draw that the file declares.")
	for i := range all {
		if all[i].Simulated {
			return append(lines, "(simulated)")
		}
	}
	return lines
}

// total is what nights with a twin come to, K²h.
type total struct {
	nights                           int
	came, without, avoided, ran, off float64
}

func totals(all []Night) (t total) {
	for i := range all {
		n := &all[i]
		if n.Twin == nil || n.Squared == nil {
			continue
		}
		t.nights++
		t.came += *n.Squared
		t.without += n.Twin.Squared
		t.avoided += n.Twin.Avoided
		t.ran += n.Twin.SquaredAsItRan
		t.off += math.Abs(n.Twin.SquaredAsItRan - *n.Squared)
	}
	return t
}

func counted(n int) string {
	if n == 1 {
		return "one night"
	}
	return fmt.Sprintf("%d nights", n)
}
