package picture

import "slices"

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
		low, high := p.Tank.least.V, p.Tank.most.V
		if t := p.Ahead.tank(); t.Known() {
			low, high = min(low, t.least.V), max(high, t.most.V)
		}
		f := p.field("tank-panel", p.degrees(low), p.degrees(high), tankHeight)
		f.expected(p.Ahead.tank(), tankHand, p.degrees)
		f.line(p.Tank, tankHand, p.degrees)
		f.now()
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
	p.airKey(known)
	f := p.field("air-panel", low, high, airHeight)
	for i := len(p.Air) - 1; i >= 0 && i < len(hands); i-- {
		f.expected(p.Ahead.air(i), hands[i], p.degrees)
	}
	for i := len(known) - 1; i >= 0; i-- { // the crop's place comes last, on top
		f.line(known[i].Trace, known[i].hand, p.degrees)
	}
	f.limit(p.Minimum, "minimum", p.degrees)
	f.now()
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
	for i := range p.Air {
		if t := p.Ahead.air(i); t.Known() {
			low, high = min(low, t.least.V-t.least.Band), max(high, t.most.V+t.most.Band)
		}
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

func (p *page) airKey(known []drawn) {
	var all []sample
	for _, t := range known {
		all = append(all, sample{t.Name, t.attrs(), nil})
	}
	p.key(append(all, p.minimumSample()...)...)
}

// tagged is a name of one line or more whose middle wants to stand at a height.
type tagged struct {
	lines []string
	y     float64
}

// half is how far its lines reach from its middle, beyond those of one line.
func (t tagged) half() float64 { return nameRow * float64(len(t.lines)-1) / 2 }

// nearEnd is where a line must have come to, as a share of the frame, to have its
// name at the right; of one that ends earlier the footer tells the end.
const nearEnd = 0.97

// names writes the lines' names at their right ends, apart from each other.
func (f *panel) names(known []drawn) {
	var all []tagged
	for _, t := range known {
		if last := t.last; f.share(last.At) > nearEnd {
			all = append(all, tagged{[]string{t.Name}, f.at(f.degrees(last.V))})
		}
	}
	if n := len(f.Minimum); n > 0 {
		all = append(all, tagged{[]string{"minimum"}, f.at(f.degrees(f.Minimum[n-1].V))})
	}
	f.tags(f.g, all, f.top, f.bottom)
}

// tags writes names at the right, apart from each other.
func (c *canvas) tags(g *node, all []tagged, top, bottom float64) {
	for _, t := range spread(all, top, bottom) {
		for i, line := range t.lines {
			y := t.y - t.half() + float64(i)*nameRow
			words(g, c.right+4, y+3.5, "start", fit(line, small, c.wide-c.right-6, false))
		}
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
	limit := top
	for i := range all {
		all[i].y = max(all[i].y, limit+all[i].half())
		limit = all[i].y + all[i].half() + nameRow
	}
	limit = bottom
	for i := len(all) - 1; i >= 0; i-- {
		all[i].y = min(all[i].y, limit-all[i].half())
		limit = all[i].y - all[i].half() - nameRow
	}
	return all
}

// battery draws the charge with its band and the reserve.
func (p *page) battery() {
	if !p.Charge.Known() {
		return
	}
	p.batteryHeading()
	f := p.field("battery-panel", 0, 100, batteryHeight)
	f.expected(p.Ahead.charge(), hands[0], percent)
	f.band(p.Charge, percent)
	f.line(p.Charge, hands[0], percent)
	f.now()
	if p.Reserve.Known() {
		f.line(p.Reserve, limitHand, percent)
	}
	f.reserveName()
}

func (f *panel) reserveName() {
	if r := f.Reserve; r.Known() && f.share(r.last.At) > nearEnd {
		words(f.g, f.right+4, f.at(percent(r.last.V))+3.5, "start", "reserve")
	}
}
