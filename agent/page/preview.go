package page

import (
	"fmt"
	"time"

	"duskloop/sensors/quantity"
)

// take keeps what was looked at, to be made as it was seen.
func (x *previewed) take(p *Preview, e entered) {
	for _, c := range p.Changes {
		x.Changes = append(x.Changes, edit{
			Name: c.Name, Value: e.values[c.Name], Was: e.bases[c.Name], Says: fmt.Sprintf("%s: %s → %s", named(c.Name, " "), c.From, c.To),
		})
	}
	x.Cautions = cautionsOf(p.Changes)
}

// words of a preview.
func (p *Preview) words(t taste) *previewed {
	x := new(previewed)
	for _, text := range p.Words {
		x.Says = append(x.Says, t.timed(text))
	}
	if len(p.Nights) > 0 {
		p.table(x, t)
	}
	if p.Tonight != "" {
		x.Says = append(x.Says, t.timed(p.Tonight))
	}
	return x
}

// table fills in the nights, and for how long they were too cold.
func (p *Preview) table(x *previewed, t taste) {
	x.Head = []string{"night of", "coldest, recorded", "coldest, replayed", "coldest, changed", "too cold, replayed", "too cold, changed", "battery, replayed", "battery, changed"}
	var sum Replayed
	for _, n := range p.Nights {
		x.Rows = append(x.Rows, []string{
			n.Noon.In(t.zone).Format("Mon 2\u00a0Jan"), t.temp(n.Was), t.temp(n.Again), t.temp(n.Then),
			below(n.BelowAgain), below(n.BelowThen), fmt.Sprintf("%.0f\u00a0Wh", n.WhAgain), fmt.Sprintf("%.0f\u00a0Wh", n.WhThen),
		})
		sum.BelowAgain, sum.BelowThen = sum.BelowAgain+n.BelowAgain, sum.BelowThen+n.BelowThen
		sum.SquaredAgain, sum.SquaredThen = sum.SquaredAgain+n.SquaredAgain, sum.SquaredThen+n.SquaredThen
	}
	x.Says = append(x.Says, fmt.Sprintf("Altogether it would have been below today's minimum for %s as it is, for %s changed.", below(sum.BelowAgain), below(sum.BelowThen)))
	x.Depth = "How deep that was, by the square of what was missing, as the plan weighs it: " + t.squared(sum.SquaredAgain) + " as it is, " + t.squared(sum.SquaredThen) + " changed."
}

// below is for how long it was too cold.
func below(d time.Duration) string {
	if d < time.Minute {
		return "no time"
	}
	return ranFor(d)
}

// squared are squared degree-hours.
func (t taste) squared(k float64) string {
	if t.units == quantity.US {
		return fmt.Sprintf("%.0f\u00a0°F²h", 3.24*k)
	}
	return fmt.Sprintf("%.0f\u00a0K²h", k)
}
