package picture

// silent is the tone of what was not recorded.
const silent = "#8d8d8d"

// night draws one of a week.
func (p *page) night(n *WeekNight, r reach) {
	p.Frame, p.Sheet.Nights, p.Minimum = n.Frame, n.Dark, Level{{From: n.From, V: n.Minimum}}
	p.marks = timeMarks(n.Frame, p.right-p.left, p.clockForm())
	p.y += row + 2
	words(p.root, margin, p.y, "start", fit(n.Name, big-2, width-2*margin, true), "font-weight", "bold", "font-size", num(big-2))
	for _, text := range n.Says {
		for _, line := range wrap(text, small, width-2*margin, 0) {
			p.y += row
			words(p.root, margin, p.y, "start", line)
		}
	}
	p.y += 6
	f := p.field("week-night air-panel", r.low, r.high, weekAir)
	if n.Tunnel.Known() {
		f.cold(n.Tunnel, n.Minimum)
		f.under(n.Tunnel, cellTunnel)
	}
	f.limit(p.Minimum, "minimum", p.degrees)
	f.marked(n)
	if n.Silent.total > 0 {
		f.quiet(n.Silent)
	}
	p.runs(n.Pump, ink)
	p.cellHours()
}

// under draws a trace as far as it lies below the panel's top.
func (f *panel) under(t *Trace, h hand) {
	var all [][]place
	for _, run := range t.runs() {
		var at []place
		for _, p := range run {
			at = append(at, place{f.x(p.At), f.at(f.degrees(p.V))})
		}
		all = append(all, cut(at, f.top)...)
	}
	f.strokes(t.Name, all, h, h.width)
}

// cut leaves out what of a line lies above a height, to the point at which it crosses.
func cut(line []place, top float64) (all [][]place) {
	var open []place
	for i, b := range line {
		if i > 0 {
			if a := line[i-1]; (a.y < top) != (b.y < top) {
				open = append(open, place{a.x + (b.x-a.x)*(top-a.y)/(b.y-a.y), top})
			}
		}
		if b.y >= top {
			open = append(open, b)
			continue
		}
		if len(open) > 0 {
			all, open = append(all, open), nil
		}
	}
	if len(open) > 0 {
		all = append(all, open)
	}
	return all
}

// marked marks the coldest, as it was expected and as it came.
func (f *panel) marked(n *WeekNight) {
	put := func(class string, p Point, m marker, h hand) {
		if y := f.at(f.degrees(p.V)); y >= f.top && !p.At.Before(f.From) && !p.At.After(f.To) {
			var d pen
			m.put(&d, f.x(p.At), y)
			f.g.add("path", append([]string{"class", class, "d", d.String()}, m.attrs(h)...)...)
		}
	}
	if n.Foretold != nil {
		put("expected", *n.Foretold, expectedMark, limitHand)
	}
	if n.Tunnel.Known() {
		put("coldest", n.Tunnel.least, coldestMark, cellTunnel)
	}
}

// quiet marks along the bottom when nothing was recorded.
func (f *panel) quiet(l *Lane) {
	var d pen
	for _, s := range l.spans {
		d.box(f.x(s.from), f.bottom-4, f.x(s.to), f.bottom-1)
	}
	f.g.add("path", "class", "silent", "d", d.String(), "fill", silent)
}
