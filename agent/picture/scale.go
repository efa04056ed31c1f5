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

// curveHands are those of the curves in one picture, in order.
var curveHands = [mostCurves]hand{
	hands[0], hands[1], hands[2], hands[3],
	{"#8c2f1b", "2.5", "3.5 2.5"},
	{"#5b3a8c", "1.3", "9 2.5 1.6 2.5 1.6 2.5"},
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

// scale is how values stand in a field, from its bottom to its top.
type scale struct {
	g           *node
	low, high   float64
	top, bottom float64
}

// at is where a value stands.
func (f *scale) at(v float64) float64 {
	return f.bottom - (v-f.low)/(f.high-f.low)*(f.bottom-f.top)
}

// within is at, kept inside the field.
func (f *scale) within(v float64) float64 { return min(max(f.at(v), f.top), f.bottom) }

// values draws a scale's lines across and its numbers at the left.
func (c *canvas) values(f *scale, t ticks) {
	var lines pen
	labels := f.g.add("g", "text-anchor", "end", "class", "scale")
	for _, v := range t.marks() {
		lines.move(c.left, f.at(v))
		lines.WriteString("H" + num(c.right))
		words(labels, c.left-4, f.at(v)+3.5, "start", t.label(v))
	}
	f.g.add("path", "class", "values", "d", lines.String(), "stroke", faint, "stroke-width", "0.6")
}

// border goes round a field.
func (c *canvas) border(to *node, top, bottom float64) {
	to.add("rect", "x", num(c.left), "y", num(top), "width", num(c.right-c.left), "height", num(bottom-top),
		"fill", "none", "stroke", "#8d8d8d", "stroke-width", "0.6")
}

// place is where something stands in the picture.
type place struct{ x, y float64 }

// strokes draws runs of places as lines; a run of one is a dot so wide. Lines end square, so
// that they do not reach into a gap.
func (f *scale) strokes(class string, runs [][]place, h hand, dot string) {
	var d, dots pen
	for _, run := range runs {
		if len(run) == 1 {
			dots.move(run[0].x, run[0].y)
			dots.WriteString("h0")
			continue
		}
		d.move(run[0].x, run[0].y)
		for _, p := range run[1:] {
			d.line(p.x, p.y)
		}
	}
	if d.Len() > 0 {
		f.g.add("path", append([]string{"class", class, "d", d.String()}, h.attrs()...)...)
	}
	if dots.Len() > 0 {
		f.g.add("path", "class", class+" dots", "d", dots.String(), "stroke", h.colour, "stroke-width", dot, "stroke-linecap", "round")
	}
}
