package picture

// panel is a field over time with a scale of its own.
type panel struct {
	*page
	scale
}

// field lays out a panel for values between low and high, with nights, grid and
// the scale at its left.
func (p *page) field(name string, low, high, height float64) *panel {
	t := valueTicks(low, high, min(int(height/12.5), 6))
	f := &panel{page: p, scale: scale{low: t.low, high: t.high, top: p.y, bottom: p.y + height}}
	f.g = p.root.add("g", "class", name)
	p.shade(f.g, f.top, f.bottom)
	p.grid(f.g, f.top, f.bottom)
	p.values(&f.scale, t)
	p.y += height + 4
	return f
}

// shade darkens the nights.
func (p *page) shade(to *node, top, bottom float64) {
	var d pen
	for _, n := range p.Nights {
		if set, rise, some := p.clip(n.Set, n.Rise); some && !p.Daily() {
			d.box(p.x(set), top, p.x(rise), bottom)
		}
	}
	if d.Len() > 0 {
		to.add("path", "class", "night", "d", d.String(), "fill", night)
	}
}

// grid marks the times from top to bottom.
func (p *page) grid(to *node, top, bottom float64) {
	var d pen
	for _, m := range p.marks {
		d.move(p.x(m.at), top)
		d.WriteString("V" + fine(bottom))
	}
	to.add("path", "d", d.String(), "stroke", faint, "stroke-width", "0.6")
	p.border(to, top, bottom)
}

// line draws a trace, each run by itself.
func (f *panel) line(t *Trace, h hand, in func(float64) float64) {
	var all [][]place
	for _, run := range t.runs() {
		var at []place
		for _, p := range run {
			at = append(at, place{f.x(p.At), f.at(in(p.V))})
		}
		all = append(all, f.light(at))
	}
	f.strokes(t.Name, all, h, h.width)
}

// light is a line as a telephone far from the house should get it: where values can be read
// off by a finger, a line need not carry every one.
func (f *panel) light(line []place) []place {
	if f.Finger {
		return straightened(line)
	}
	return line
}

// band fills what a trace may truly be.
func (f *panel) band(t *Trace, in func(float64) float64) {
	var d pen
	for _, run := range t.runs() {
		if len(run) < 2 {
			continue
		}
		var above, below []place
		for _, p := range run {
			above = append(above, place{f.x(p.At), f.within(in(p.V + p.Band))})
			below = append(below, place{f.x(p.At), f.within(in(p.V - p.Band))})
		}
		above, below = f.light(above), f.light(below)
		d.move(above[0].x, above[0].y)
		for _, at := range above[1:] {
			d.line(at.x, at.y)
		}
		for i := len(below) - 1; i >= 0; i-- {
			d.line(below[i].x, below[i].y)
		}
		d.WriteString("Z")
	}
	if d.Len() > 0 {
		f.g.add("path", "class", t.Name+" band", "d", d.String(), "fill", doubt, "fill-opacity", "0.6")
	}
}

// limit draws a level as steps.
func (f *panel) limit(l Level, name string, in func(float64) float64) {
	var d pen
	for i, s := range l {
		end := f.To
		if i+1 < len(l) {
			end = l[i+1].From
		}
		if from, to, some := f.clip(s.From, end); some {
			y := f.at(in(s.V))
			d.move(f.x(from), y)
			d.WriteString("H" + fine(f.x(to)))
		}
	}
	if d.Len() > 0 {
		f.limitPath(name, d.String())
	}
}

// limitPath draws a limit; over bars on a pale ground, so that it shows on what is
// dark. Over lines that would look like gaps in them.
func (f *panel) limitPath(name, d string) {
	if f.Daily() {
		f.g.add("path", "d", d, "fill", "none", "stroke", paper, "stroke-width", "2.4", "stroke-opacity", "0.7")
	}
	f.g.add("path", append([]string{"class", name, "d", d}, limitHand.attrs()...)...)
}
