package picture

import "time"

// page is a sheet while it is drawn: a canvas whose x axis is time.
type page struct {
	*Sheet
	*canvas
	marks []timeMark
}

func newPage(s *Sheet) *page { return titled(s, s.title(), s.description()) }

// titled is a page with other words for what it is.
func titled(s *Sheet, title, description string) *page {
	c := newCanvas(title, description)
	if s.Narrow {
		c.right -= c.wide - narrow
		c.wide = narrow
	}
	return &page{Sheet: s, canvas: c, marks: timeMarks(s.Frame, c.right-c.left, s.clockForm())}
}

// x is where a time stands.
func (p *page) x(t time.Time) float64 { return p.left + p.share(t)*(p.right-p.left) }

// header says what this is.
func (p *page) header() { p.titles(p.head(), p.span()+"; "+p.clock(), p.tag()) }

// tag marks a simulated picture at its upper right, and returns the room it takes.
func (p *page) tag() float64 {
	if !p.Simulated {
		return 0
	}
	const text = "simulated"
	w := textWidth(text, small, true) + 10
	p.root.add("rect", "x", num(p.wide-margin-w), "y", num(margin), "width", num(w), "height", "15",
		"fill", "none", "stroke", ink, "stroke-dasharray", "3 2")
	words(p.root, p.wide-margin-w/2, margin+11, "middle", text, "font-weight", "bold")
	return w + 8
}

// axis names the times, below what was drawn last.
func (p *page) axis() {
	g := p.root.add("g", "class", "axis", "text-anchor", "middle")
	end, deep := -1.0, false
	for i, m := range p.marks {
		x := p.x(m.at)
		words(g, x, p.y+row-3, "start", m.label)
		if m.below == "" || (i > 0 && m.below == p.marks[i-1].below) {
			continue
		}
		half := textWidth(m.below, small, false) / 2
		if x-half > end && !p.soon(i, x+half) {
			words(g, x, p.y+2*row-4, "start", m.below)
			end, deep = x+half+4, true
		}
	}
	p.y += row
	if deep {
		p.y += row - 1
	}
	p.y += 6
}

// soon says that a later mark begins something new before x: the first of a day
// says more than what is left of the day before.
func (p *page) soon(i int, x float64) bool {
	for _, m := range p.marks[i+1:] {
		if m.below != p.marks[i].below {
			return p.x(m.at)-textWidth(m.below, small, false)/2-4 < x
		}
	}
	return false
}
