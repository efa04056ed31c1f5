package picture

import "time"

// Heights of the strips. Chosen.
const (
	stripHeight = 52.0
	cropHeight  = 84.0 // of the crop's place
	hoursHeight = 96.0 // four units an hour
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
	text := capital(t.Name) + ", " + p.unit() + ": coldest to warmest " + p.each()
	if len(l) > 0 {
		text += "; " + p.minimumText()
	}
	for i, line := range wrap(text, small, (width-2*margin)/boldWider, 0) {
		if i == 0 {
			p.heading(line)
			continue
		}
		p.y += row
		words(p.root, margin, p.y-3, "start", line, "font-weight", "bold")
	}
	f := p.field(t.Name+"-panel", p.degrees(low), p.degrees(high), height)
	f.bars(t, h.colour, p.degrees)
	f.limit(l, "minimum", p.degrees)
	if n := len(l); n > 0 {
		words(f.g, right+4, f.at(p.degrees(l[n-1].V))+3.5, "start", "minimum")
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

// charges draws the battery by days: a pale bar for what it may have been, a dark
// one for what was taken for true.
func (p *page) charges() {
	if !p.Charge.Known() {
		return
	}
	p.heading("Battery, % charged" + p.reserveText())
	f := p.field("battery-panel", 0, 100, batteryHeight)
	var d pen
	f.buckets(p.Charge, func(e extent, from, to time.Time) {
		d.box(f.x(from), f.within(percent(e.bandHigh)), f.x(to), f.within(percent(e.bandLow)))
	})
	f.g.add("path", "class", p.Charge.Name+" band", "d", d.String(), "fill", doubt, "fill-opacity", "0.6")
	f.bars(p.Charge, hands[0].colour, percent)
	f.limit(p.Reserve, "reserve", percent)
	f.reserveName()
}

// hours draws at which hours something ran, and the nights, noon to noon.
func (p *page) hours() {
	if p.Hours == nil || len(p.Hours.ran) == 0 {
		return
	}
	p.heading("Hours at which the " + p.Hours.Name + " ran" + p.nightText())
	top := p.y
	g := p.root.add("g", "class", "hours")
	p.nightColumns(g, top)
	p.grid(g, top, top+hoursHeight)
	var lines, d pen
	for i, name := range []string{"12:00", "18:00", "0:00", "6:00", "12:00"} {
		y := top + float64(i)*hoursHeight/4
		lines.move(left, y)
		lines.WriteString("H" + num(right))
		words(g, left-3, y+3.5, "end", name)
	}
	g.add("path", "d", lines.String(), "stroke", faint, "stroke-width", "0.6")
	for c := range p.Hours.ran {
		p.column(&d, c, top)
	}
	g.add("path", "class", "ran", "d", d.String(), "fill", strong)
	p.y += hoursHeight + 4
	p.axis()
}

func (p *page) nightText() string {
	if p.NightsKnown {
		return "; shaded: sunset to sunrise"
	}
	return ""
}

// column draws the runs of one day's column.
func (p *page) column(d *pen, c int, top float64) {
	from, to, some := p.clip(p.Hours.noons[c], p.Hours.noons[c+1])
	if !some {
		return
	}
	ran := p.Hours.ran[c]
	for i := 0; i < cells; i++ {
		n := i
		for n < cells && ran[n] {
			n++
		}
		if n > i {
			d.box(p.x(from), top+float64(i)*hoursHeight/float64(cells), p.x(to), top+float64(n)*hoursHeight/float64(cells))
			i = n
		}
	}
}

// nightColumns shades each column from sunset to sunrise by the clock.
func (p *page) nightColumns(g *node, top float64) {
	var d pen
	c := 0
	for _, n := range p.Nights {
		for c < len(p.Hours.noons)-2 && !n.Set.Before(p.Hours.noons[c+1]) {
			c++
		}
		for i := c; i < len(p.Hours.noons)-1 && n.Rise.After(p.Hours.noons[i]); i++ {
			p.darken(&d, n, p.Hours.noons[i], p.Hours.noons[i+1], top)
		}
	}
	if d.Len() > 0 {
		g.add("path", "class", "night", "d", d.String(), "fill", night)
	}
}

func (p *page) darken(d *pen, n Night, noon, next time.Time, top float64) {
	from, to, some := p.clip(noon, next)
	if !some {
		return
	}
	down := func(t time.Time) float64 {
		share := float64(t.Sub(noon)) / float64(24*time.Hour)
		return top + min(max(share, 0), 1)*hoursHeight
	}
	if set, rise := down(n.Set), down(n.Rise); rise > set {
		d.box(p.x(from), set, p.x(to), rise)
	}
}
