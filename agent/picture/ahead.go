package picture

import "time"

// Ahead is what is expected after what was seen: drawn lighter than the past, from where
// that ends. A trace that is nil is not expected.
type Ahead struct {
	From   time.Time // now
	Tank   *Trace
	Air    []*Trace // as Sheet.Air, in the same order; the first with its band
	Charge *Trace
	Pump   *Lane // when the pump is expected to run; its spans may be parts of runs
	// Without says why no heat comes, and to when; empty where it comes as planned.
	Without string
	Whole   bool // all that is expected is without heat
}

// traces of what is expected, those that there are.
func (a *Ahead) traces() (all []*Trace) {
	if a == nil {
		return nil
	}
	for _, t := range append([]*Trace{a.Tank, a.Charge}, a.Air...) {
		if t.Known() {
			all = append(all, t)
		}
	}
	return all
}

// lighter is how strongly what is only expected is drawn.
const lighter = "0.5"

// expected draws a trace that is only expected, from a panel's past on, with its band where
// that says anything.
func (f *panel) expected(t *Trace, h hand, in func(float64) float64) {
	if !t.Known() {
		return
	}
	if t.banded() {
		f.band(t, in)
	}
	before := len(f.g.kids)
	f.line(t, h, in)
	for _, n := range f.g.kids[before:] {
		n.change("class", t.Name+" expected")
		n.set("stroke-opacity", lighter)
	}
}

// banded says that a trace's values may be off.
func (t *Trace) banded() bool {
	for _, run := range t.runs() {
		for _, p := range run {
			if p.Band > 0 {
				return true
			}
		}
	}
	return false
}

// now marks where the past ends.
func (f *panel) now() {
	if f.Ahead == nil || f.Ahead.From.Before(f.From) || f.Ahead.From.After(f.To) {
		return
	}
	x := num(f.x(f.Ahead.From))
	f.g.add("path", "class", "now", "d", "M"+x+" "+num(f.top)+"V"+num(f.bottom), "stroke", ink, "stroke-width", "1")
}

// of an expected place, by the place in the list of the air's.
func (a *Ahead) air(i int) *Trace {
	if a == nil || i >= len(a.Air) {
		return nil
	}
	return a.Air[i]
}

// tank and charge that are expected; nil without.
func (a *Ahead) tank() *Trace {
	if a == nil {
		return nil
	}
	return a.Tank
}

func (a *Ahead) charge() *Trace {
	if a == nil {
		return nil
	}
	return a.Charge
}
