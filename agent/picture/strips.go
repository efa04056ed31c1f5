package picture

import "time"

// Heights of the strips. Chosen.
const (
	stripHeight = 46.0
	cropHeight  = 80.0 // of the crop's place
)

// strips draws a place a strip, with the coldest and warmest of every bucket.
func (p *page) strips() {
	if p.Tank.Known() {
		p.strip(p.Tank, tankHand, stripHeight, nil)
	}
	for i, t := range p.known() {
		if i == 0 {
			p.strip(t.Trace, t.hand, cropHeight, p.Minimum)
		} else {
			p.strip(t.Trace, t.hand, stripHeight, nil)
		}
	}
	p.charges()
}

func (p *page) strip(t *Trace, h hand, height float64, l Level) {
	low, high := t.least.V, t.most.V
	for _, s := range l {
		low, high = min(low, s.V), max(high, s.V)
	}
	p.heading(capital(t.Name) + ", " + p.unit() + ": coldest to warmest " + p.each())
	if len(l) > 0 {
		p.key(p.minimumSample()...)
	}
	f := p.field(t.Name+"-panel", p.degrees(low), p.degrees(high), height)
	f.bars(t, h.colour, p.degrees)
	f.limit(l, "minimum", p.degrees)
	if n := len(l); n > 0 {
		words(f.g, f.right+4, f.at(p.degrees(l[n-1].V))+3.5, "start", "minimum")
	}
}

// each names the bucket.
func (p *page) each() string {
	if n := p.perBucket(); n > 1 {
		return "of every " + trimmed(float64(n), 0) + " days"
	}
	return "of each day"
}

// bars draws the extremes of each bucket as an upright bar over its time.
func (f *panel) bars(t *Trace, colour string, in func(float64) float64) {
	var d pen
	f.buckets(t, func(e extent, from, to time.Time) {
		d.box(f.x(from), f.at(in(e.high)), f.x(to), f.at(in(e.low)))
	})
	f.g.add("path", "class", t.Name, "d", d.String(), "fill", colour, "stroke", colour, "stroke-width", "0.3")
}

// buckets goes through what is known, with each bucket's time within the frame.
func (f *panel) buckets(t *Trace, do func(extent, time.Time, time.Time)) {
	for i, e := range t.extents {
		if from, to, some := f.clip(f.edges[i], f.edges[i+1]); some && e.known {
			do(e, from, to)
		}
	}
}

// reserves draws the highest reserve of each bucket.
func (f *panel) reserves() {
	if !f.Reserve.Known() {
		return
	}
	var d pen
	f.buckets(f.Reserve, func(e extent, from, to time.Time) {
		d.move(f.x(from), f.at(percent(e.high)))
		d.WriteString("H" + fine(f.x(to)))
	})
	f.limitPath("reserve", d.String())
}

// charges draws the battery by days: a pale bar for what it may have been, a dark
// one for what was taken for true.
func (p *page) charges() {
	if !p.Charge.Known() {
		return
	}
	p.batteryHeading()
	f := p.field("battery-panel", 0, 100, batteryHeight)
	var d pen
	f.buckets(p.Charge, func(e extent, from, to time.Time) {
		d.box(f.x(from), f.within(percent(e.bandHigh)), f.x(to), f.within(percent(e.bandLow)))
	})
	f.g.add("path", "class", p.Charge.Name+" band", "d", d.String(), "fill", doubt, "fill-opacity", "0.6")
	f.bars(p.Charge, hands[0].colour, percent)
	f.reserves()
	f.reserveName()
}
