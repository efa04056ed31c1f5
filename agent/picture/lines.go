package picture

import (
	"fmt"
	"slices"
)

// Heights of the panels. Chosen.
const (
	tankHeight    = 64.0
	airHeight     = 150.0
	batteryHeight = 64.0
	nameRow       = 11.0 // between the names of two lines
)

// panels draws the readings as lines.
func (p *page) panels() {
	if p.Tank.Known() {
		p.heading("Tank, " + p.unit())
		f := p.field("tank-panel", p.degrees(p.Tank.least.V), p.degrees(p.Tank.most.V), tankHeight)
		f.line(p.Tank, tankHand, p.degrees)
	}
	p.airs()
	p.battery()
}

// airs draws the temperatures round the crop on one scale.
func (p *page) airs() {
	known := p.known()
	if len(known) == 0 {
		return
	}
	low, high := p.airRange(known)
	p.heading(p.airHeading(known))
	p.key(known)
	f := p.field("air-panel", low, high, airHeight)
	for i := len(known) - 1; i >= 0; i-- { // the crop's place comes last, on top
		f.line(known[i].Trace, known[i].hand, p.degrees)
	}
	f.limit(p.Minimum, "minimum", p.degrees)
	f.names(known)
}

// drawn is a trace with its hand.
type drawn struct {
	*Trace
	hand
}

// known are the air traces with anything to draw; each keeps its own hand whether
// or not the others are there.
func (p *page) known() []drawn {
	var all []drawn
	for i, t := range p.Air {
		if t.Known() && i < len(hands) {
			all = append(all, drawn{t, hands[i]})
		}
	}
	return all
}

func (p *page) airRange(known []drawn) (low, high float64) {
	low, high = known[0].least.V, known[0].most.V
	for _, t := range known {
		low, high = min(low, t.least.V), max(high, t.most.V)
	}
	for _, s := range p.Minimum {
		low, high = min(low, s.V), max(high, s.V)
	}
	return p.degrees(low), p.degrees(high)
}

func (p *page) airHeading(known []drawn) string {
	text := capital(known[0].Name)
	for i, t := range known[1:] {
		if i == len(known)-2 {
			text += " and " + t.Name
		} else {
			text += ", " + t.Name
		}
	}
	return text + ", " + p.unit()
}

// key shows each line's hand beside its name, in rows.
func (p *page) key(known []drawn) {
	x := margin
	p.y += row - 3
	for _, t := range known {
		p.sample(&x, t.Name, t.hand)
	}
	if len(p.Minimum) > 0 {
		p.sample(&x, p.minimumText(), limitHand)
	}
	p.y += 5
}

const dash = 22.0 // length of a sample

// sample shows one hand and its name, on the next row where the room ends.
func (p *page) sample(x *float64, name string, h hand) {
	w := dash + 4 + textWidth(name, small, false)
	if *x > margin && *x+w > width-margin {
		*x = margin
		p.y += row
	}
	var d pen
	d.move(*x, p.y-3.5)
	d.WriteString("h" + num(dash))
	p.root.add("path", append([]string{"d", d.String()}, h.attrs()...)...)
	words(p.root, *x+dash+4, p.y, "start", name)
	*x += w + 10
}

// minimumText names the crop's minimum with its value, or values.
func (p *page) minimumText() string {
	text := "crop minimum " + p.said(p.Minimum[0].V)
	if n := len(p.Minimum); n > 1 {
		text += ", later " + p.said(p.Minimum[n-1].V)
	}
	return text
}

// tagged is a name that wants to stand at a height.
type tagged struct {
	name string
	y    float64
}

// names writes the lines' names at their right ends, apart from each other.
func (f *panel) names(known []drawn) {
	var all []tagged
	for _, t := range known {
		runs := t.runs()
		last := runs[len(runs)-1]
		all = append(all, tagged{t.Name, f.at(f.degrees(last[len(last)-1].V))})
	}
	if n := len(f.Minimum); n > 0 {
		all = append(all, tagged{"minimum", f.at(f.degrees(f.Minimum[n-1].V))})
	}
	for _, t := range spread(all, f.top, f.bottom) {
		words(f.g, right+4, t.y+3.5, "start", fit(t.name, small, width-right-6, false))
	}
}

// spread moves names apart, keeping their order and the panel's ends.
func spread(all []tagged, top, bottom float64) []tagged {
	slices.SortStableFunc(all, func(a, b tagged) int {
		switch {
		case a.y < b.y:
			return -1
		case a.y > b.y:
			return 1
		}
		return 0
	})
	for i := range all {
		all[i].y = max(all[i].y, top)
		if i > 0 {
			all[i].y = max(all[i].y, all[i-1].y+nameRow)
		}
	}
	limit := bottom
	for i := len(all) - 1; i >= 0; i-- {
		all[i].y = min(all[i].y, limit)
		limit = all[i].y - nameRow
	}
	return all
}

// battery draws the charge with its band and the reserve.
func (p *page) battery() {
	if !p.Charge.Known() {
		return
	}
	p.heading("Battery, % charged" + p.reserveText())
	f := p.field("battery-panel", 0, 100, batteryHeight)
	f.band(p.Charge, percent)
	f.line(p.Charge, hands[0], percent)
	f.limit(p.Reserve, "reserve", percent)
	f.reserveName()
}

func (p *page) reserveText() string {
	text := "; pale: it may lie within"
	if n := len(p.Reserve); n > 0 {
		text += fmt.Sprintf("; dashed: reserve %s", saidPercent(p.Reserve[n-1].V))
	}
	return text
}

func (f *panel) reserveName() {
	if n := len(f.Reserve); n > 0 {
		words(f.g, right+4, f.at(percent(f.Reserve[n-1].V))+3.5, "start", "reserve")
	}
}
