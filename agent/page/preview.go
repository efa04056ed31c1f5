package page

import (
	"fmt"

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
	x := &previewed{Says: p.Words}
	if p.Tonight != "" {
		x.Says = append(x.Says, t.timed(p.Tonight))
	}
	if len(p.Nights) == 0 {
		x.Says = append(x.Says, "No night is recorded that could be lived again: what it would have done is not known.")
		return x
	}
	unit, scale := "K²h", 1.0
	off := fmt.Sprintf("%.1f\u00a0K", p.Off)
	if t.units == quantity.US {
		unit, scale, off = "°F²h", 3.24, fmt.Sprintf("%.1f\u00a0°F", 1.8*p.Off)
	}
	x.Head = []string{"night of", "coldest, recorded", "coldest, replayed", "coldest, changed", "cold, replayed", "cold, changed", "battery, replayed", "battery, changed"}
	var again, then float64
	for _, n := range p.Nights {
		x.Rows = append(x.Rows, []string{
			n.Noon.In(t.zone).Format("Mon 2\u00a0Jan"), t.temp(n.Was), t.temp(n.Again), t.temp(n.Then),
			fmt.Sprintf("%.0f\u00a0%s", scale*n.SquaredAgain, unit), fmt.Sprintf("%.0f\u00a0%s", scale*n.SquaredThen, unit),
			fmt.Sprintf("%.0f\u00a0Wh", n.WhAgain), fmt.Sprintf("%.0f\u00a0Wh", n.WhThen),
		})
		again, then = again+n.SquaredAgain, then+n.SquaredThen
	}
	x.Says = append(x.Says, fmt.Sprintf("The last %d nights lived again: %.0f %s below today's minimum as it is, %.0f %s changed. Against the record the replay is off by %s: do not believe finer differences.",
		len(p.Nights), scale*again, unit, scale*then, unit, off))
	return x
}
