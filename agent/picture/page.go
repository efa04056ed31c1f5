package picture

import (
	"encoding/xml"
	"io"
	"time"
)

// Lengths, in units of the picture. Chosen: the width of a common telephone, and
// letters that are no smaller there than ten CSS pixels.
const (
	width  = 390.0
	margin = 8.0
	left   = 34.0  // of what is drawn over time
	right  = 322.0 // beyond it lines have their names
	small  = 10.0  // letters
	big    = 14.0
	row    = 13.0 // from one line of text to the next
)

// Tones. Each is there to please; its lightness and its shape carry the meaning.
const (
	ink    = "#1f1f1f"
	faint  = "#c9c9c9"
	night  = "#d9dde6"
	doubt  = "#9fb0c9"
	paper  = "#ffffff"
	strong = "#26384d"
)

// page is a sheet while it is drawn, from the top down.
type page struct {
	*Sheet
	root  *node
	y     float64 // where the next thing begins
	marks []timeMark

	left, right float64 // of what is drawn over time
}

func newPage(s *Sheet) *page { return titled(s, s.title(), s.description()) }

// titled is a page with other words for what it is.
func titled(s *Sheet, title, description string) *page {
	root := &node{name: "svg"}
	p := &page{Sheet: s, root: root, marks: timeMarks(s.Frame, right-left), left: left, right: right}
	root.set("xmlns", "http://www.w3.org/2000/svg", "viewBox", "", "role", "img", "aria-labelledby", "title desc",
		"font-family", "sans-serif", "font-size", num(small), "fill", ink)
	root.add("title", "id", "title").text = title
	root.add("desc", "id", "desc").text = description
	root.add("rect", "width", "100%", "height", "100%", "fill", paper)
	return p
}

// write closes the page at the height it has come to.
func (p *page) write(w io.Writer) error {
	for i := range p.root.attr {
		if p.root.attr[i].Name.Local == "viewBox" {
			p.root.attr[i].Value = "0 0 " + num(width) + " " + num(p.y+margin)
		}
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	return p.root.write(w)
}

// x is where a time stands.
func (p *page) x(t time.Time) float64 { return p.left + p.share(t)*(p.right-p.left) }

// words puts one line of text with its baseline at y.
func words(to *node, x, y float64, anchor, text string, more ...string) *node {
	t := to.add("text", "x", num(x), "y", num(y))
	if anchor != "start" {
		t.set("text-anchor", anchor)
	}
	t.set(more...)
	t.text = text
	return t
}

// header says what this is.
func (p *page) header() { p.top(p.head(), p.span()+"; "+p.clock()) }

// top writes a heading in as many lines as it needs, and what stands below it.
func (p *page) top(heading, below string) {
	p.y = margin + big - 2
	room := width - 2*margin
	for i, line := range wrap(heading, big, (room-p.tag())/boldWider, 0) {
		if i > 0 {
			p.y += big + 3
		}
		words(p.root, margin, p.y, "start", line, "font-size", num(big), "font-weight", "bold")
	}
	for _, line := range wrap(below, small, room, 0) {
		p.y += row + 2
		words(p.root, margin, p.y, "start", line)
	}
	p.y += 6
}

// tag marks a simulated picture at its upper right, and returns the room it takes.
func (p *page) tag() float64 {
	if !p.Simulated {
		return 0
	}
	const text = "simulated"
	w := textWidth(text, small, true) + 10
	p.root.add("rect", "x", num(width-margin-w), "y", num(margin), "width", num(w), "height", "15",
		"fill", "none", "stroke", ink, "stroke-dasharray", "3 2")
	words(p.root, width-margin-w/2, margin+11, "middle", text, "font-weight", "bold")
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
