package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"duskloop/sim/match"
)

// pair is an element on panels wired one way.
type pair struct {
	heater heater
	wiring match.Wiring
	row    match.Row
}

// String names the pair.
func (p pair) String() string {
	return fmt.Sprintf("%.2f ohm on %v", float64(p.heater.ohm), p.wiring)
}

// fits says that the element's label, where it is told, covers the most watts.
func (p pair) fits() bool { return !p.heater.exceeded(p.row.MaxW) }

// ways are the wirings that are compared: of the panels there are, or of two if there
// is one.
func (p seasonReport) ways() []match.Wiring { return match.Wirings(max(p.array.wiring.Panels(), 2)) }

// wires says of every element what each wiring of the panels would take, or with one
// panel what a second would bring, and names the best of all.
func (p seasonReport) wires(b *strings.Builder) {
	var all []pair
	for _, h := range p.heaters {
		of := p.pairs(h)
		p.wiresOf(b, h, of)
		all = append(all, of...)
	}
	if len(p.heaters) > 1 {
		b.WriteString(bestOf("Of all these pairs most comes from", all))
	}
}

func (p seasonReport) pairs(h heater) []pair {
	var all []pair
	for _, w := range p.ways() {
		all = append(all, pair{h, w, p.season.Rewired(p.array.wiring, w, h.ohm, p.cable)})
	}
	return all
}

func (p seasonReport) wiresOf(b *strings.Builder, h heater, all []pair) {
	one := p.season.Rewired(p.array.wiring, match.Wiring{Series: 1, Parallel: 1}, h.ohm, p.cable)
	fmt.Fprintf(b, "%d such panels on %.2f ohm, against the heat from one:\n", all[0].wiring.Panels(), float64(h.ohm))
	for _, x := range all {
		fmt.Fprintf(b, "  %v: %.1f %% of their best, %.1f times, at most %.0f W at %.1f V", x.wiring,
			x.row.MatchPct, x.row.Energy/one.Energy, x.row.MaxW, x.row.MaxV)
		if over := h.over(x.row.MaxW); over != "" {
			fmt.Fprintf(b, "; %s", over)
		}
		b.WriteString("\n")
	}
	b.WriteString(bestOf("Most comes from", all))
}

// bestOf names the pair that takes most, and if that is above a label, the best one
// that is not.
func bestOf(what string, all []pair) string {
	more := func(a, b pair) int { return cmp.Compare(a.row.Energy, b.row.Energy) }
	top := slices.MaxFunc(all, more)
	if top.fits() {
		return fmt.Sprintf("%s %v: its label must cover %.0f W and more.\n", what, top, top.row.MaxW)
	}
	over := fmt.Sprintf("%s %v, but %s", what, top, top.heater.over(top.row.MaxW))
	fit := slices.DeleteFunc(slices.Clone(all), func(p pair) bool { return !p.fits() })
	if len(fit) == 0 {
		return over + " None of them stays within its label.\n"
	}
	return fmt.Sprintf("%s Within its label most comes from %v.\n", over, slices.MaxFunc(fit, more))
}

// ratings say what must break and carry each wiring, the present one first.
func (p seasonReport) ratings(b *strings.Builder) {
	all := p.ways()
	if now := p.array.wiring; !slices.Contains(all, now) {
		all = append([]match.Wiring{now}, all...)
	}
	fmt.Fprintf(b, "Must break and carry, cells at %v (%s):\n", p.season.cold, p.whyCold())
	most := all[0]
	for _, w := range all {
		fmt.Fprintf(b, "  %v: %s\n", w, p.array.breaking(w, p.season.cold))
		most = match.Wiring{Series: max(most.Series, w.Series), Parallel: max(most.Parallel, w.Parallel)}
	}
	b.WriteString(ratingsMean + "\n")
	b.WriteString(p.array.remarks(most, p.season.cold))
}

func (p seasonReport) whyCold() string {
	if p.season.cold < match.Frosty {
		return "the coldest air of the file; a colder winter needs more"
	}
	return fmt.Sprintf("the file is never colder; if your winters are, say for %v, allow for %.1f V a panel", hardWinter, p.array.openVolts(hardWinter))
}
