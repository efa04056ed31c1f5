package picture

// hand is how a line is drawn: no two alike in both width and dashes.
type hand struct{ colour, width, dash string }

// hands are those of the lines in one panel, in order.
var hands = []hand{
	{"#14532d", "2.2", ""},
	{"#2f6db5", "1.3", "7 3"},
	{"#3d3d3d", "1.4", "1.6 2.4"},
	{"#8a5a00", "1.3", "8 2.5 1.6 2.5"},
}

var (
	tankHand  = hand{"#8c2f1b", "2", ""}
	limitHand = hand{"#000000", "0.9", "4 2"}
)

func (h hand) attrs() []string {
	a := []string{"fill", "none", "stroke", h.colour, "stroke-width", h.width, "stroke-linejoin", "round"}
	if h.dash != "" {
		a = append(a, "stroke-dasharray", h.dash)
	}
	return a
}

// panel is a field over time with a scale of its own.
type panel struct {
	*page
	g           *node
	low, high   float64
	top, bottom float64
}

// heading begins a panel: what it is, and its unit.
func (p *page) heading(text string) {
	p.y += row
	words(p.root, margin, p.y-3, "start", text, "font-weight", "bold")
	p.y += 4
}

// field lays out a panel for values between low and high, with nights, grid and
// the scale at its left.
func (p *page) field(name string, low, high, height float64) *panel {
	a, b, step := valueTicks(low, high, min(int(height/12.5), 6))
	f := &panel{page: p, low: a, high: b, top: p.y, bottom: p.y + height}
	f.g = p.root.add("g", "class", name)
	p.shade(f.g, f.top, f.bottom)
	p.grid(f.g, f.top, f.bottom)
	var lines pen
	labels := f.g.add("g", "text-anchor", "end", "class", "scale")
	for i := 0; a+float64(i)*step <= b+step/1e6; i++ {
		v := a + float64(i)*step
		lines.move(p.left, f.at(v))
		lines.WriteString("H" + num(p.right))
		words(labels, p.left-4, f.at(v)+3.5, "start", trimmed(v, 3))
	}
	f.g.add("path", "class", "values", "d", lines.String(), "stroke", faint, "stroke-width", "0.6")
	p.y += height + 4
	return f
}

// at is where a value stands.
func (f *panel) at(v float64) float64 {
	return f.bottom - (v-f.low)/(f.high-f.low)*(f.bottom-f.top)
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
	to.add("rect", "x", num(p.left), "y", num(top), "width", num(p.right-p.left), "height", num(bottom-top),
		"fill", "none", "stroke", "#8d8d8d", "stroke-width", "0.6")
}

// line draws a trace, each run by itself; a value between two gaps is a dot. Lines
// end square, so that they do not reach into a gap.
func (f *panel) line(t *Trace, h hand, in func(float64) float64) {
	var d, dots pen
	for _, run := range t.runs() {
		if len(run) == 1 {
			dots.move(f.x(run[0].At), f.at(in(run[0].V)))
			dots.WriteString("h0")
			continue
		}
		d.move(f.x(run[0].At), f.at(in(run[0].V)))
		for _, p := range run[1:] {
			d.line(f.x(p.At), f.at(in(p.V)))
		}
	}
	if d.Len() > 0 {
		f.g.add("path", append([]string{"class", t.Name, "d", d.String()}, h.attrs()...)...)
	}
	if dots.Len() > 0 {
		f.g.add("path", "class", t.Name+" dots", "d", dots.String(), "stroke", h.colour, "stroke-width", h.width, "stroke-linecap", "round")
	}
}

// band fills what a trace may truly be.
func (f *panel) band(t *Trace, in func(float64) float64) {
	var d pen
	for _, run := range t.runs() {
		if len(run) < 2 {
			continue
		}
		d.move(f.x(run[0].At), f.within(in(run[0].V+run[0].Band)))
		for _, p := range run[1:] {
			d.line(f.x(p.At), f.within(in(p.V+p.Band)))
		}
		for i := len(run) - 1; i >= 0; i-- {
			d.line(f.x(run[i].At), f.within(in(run[i].V-run[i].Band)))
		}
		d.WriteString("Z")
	}
	if d.Len() > 0 {
		f.g.add("path", "class", t.Name+" band", "d", d.String(), "fill", doubt, "fill-opacity", "0.6")
	}
}

// within is at, kept inside the panel.
func (f *panel) within(v float64) float64 { return min(max(f.at(v), f.top), f.bottom) }

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
