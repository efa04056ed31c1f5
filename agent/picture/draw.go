package picture

import (
	"math"
	"strings"
)

// lone is how wide a point of a line without neighbours is.
const lone = "5"

// draw draws everything into the field, the limits first, and names it.
func (c *Curves) draw(p *plot) {
	for _, r := range c.Rules {
		p.rule(r)
	}
	if c.Marked != nil {
		p.mark(*c.Marked)
	}
	all := c.drawings()
	for i := len(all) - 1; i >= 0; i-- { // the first comes last, on top
		if all[i].Dots {
			p.dots(all[i])
		}
	}
	for i := len(all) - 1; i >= 0; i-- {
		if !all[i].Dots {
			p.strokes("curve", p.runs(all[i].Points), all[i].hand, lone)
		}
	}
	p.names(c, all)
	p.axis(c.X.text())
	if text := c.missing(); text != "" {
		p.footnote(text)
	}
}

func (p *plot) rule(r Rule) {
	d := "M" + num(p.left) + " " + fine(p.at(r.Y)) + "H" + num(p.right)
	p.g.add("path", append([]string{"class", "rule", "d", d}, limitHand.attrs()...)...)
}

// mark draws an upright line from its name down.
func (p *plot) mark(v float64) {
	d := "M" + num(p.x(v)) + " " + fine(p.top-2) + "V" + fine(p.bottom)
	p.g.add("path", "class", "marked", "d", d, "stroke", ink, "stroke-width", "1.1")
}

// runs are the points between those that are not known.
func (p *plot) runs(points []Spot) [][]place {
	var all [][]place
	gap := true
	for _, s := range points {
		if !s.known() {
			gap = true
			continue
		}
		if gap {
			all = append(all, nil)
		}
		gap = false
		run := &all[len(all)-1]
		*run = append(*run, p.place(s))
	}
	for i := range all {
		all[i] = thinned(all[i])
	}
	return all
}

func (p *plot) place(s Spot) place { return place{p.x(s.X), p.at(s.Y)} }

// thinned leaves out what is too near to the last that was drawn to be seen; the ends
// stay, and so does every turn wider than finest.
func thinned(run []place) []place {
	all := run[:1:1]
	for i, p := range run[1:] {
		last := all[len(all)-1]
		if i == len(run)-2 || math.Abs(p.x-last.x) >= finest || math.Abs(p.y-last.y) >= finest {
			all = append(all, p)
		}
	}
	return all
}

// dots draws a mark at each point; of marks nearly on the same place one.
func (p *plot) dots(c drawing) {
	var d pen
	seen := make(map[[2]int]bool)
	for _, s := range c.known() {
		at := p.place(s)
		cell := [2]int{int(at.x / (2 * finest)), int(at.y / (2 * finest))}
		if !seen[cell] {
			c.put(&d, at.x, at.y)
		}
		seen[cell] = true
	}
	p.g.add("path", append([]string{"class", "dots", "d", d.String()}, c.marker.attrs(c.hand)...)...)
}

// names writes the names of limits and of lines that come to the right end. The key has
// them whole.
func (p *plot) names(c *Curves, drawn []drawing) {
	var all []tagged
	for _, d := range drawn {
		if d.ends(p.along) {
			known := d.known()
			all = append(all, tagged{p.tag(d.Name), p.at(known[len(known)-1].Y)})
		}
	}
	for _, r := range c.Rules {
		all = append(all, tagged{p.tag(r.Name), p.at(r.Y)})
	}
	p.tags(p.g, narrowed(all), p.top, p.bottom)
}

// tag is a name in two lines at most; what is cut of a third shows that it was.
func (p *plot) tag(name string) []string {
	lines := wrap(name, small, p.wide-p.right-6, 0)
	if len(lines) > 2 {
		lines = []string{lines[0], lines[1] + " " + lines[2]}
	}
	return lines
}

// narrowed gives each name one line where all of them have not enough room.
func narrowed(all []tagged) []tagged {
	rows := 0
	for _, t := range all {
		rows += len(t.lines)
	}
	for i := range all {
		if float64(rows-1)*nameRow > plotHeight {
			all[i].lines = []string{strings.Join(all[i].lines, " ")}
		}
	}
	return all
}

// missing tells what is not drawn.
func (c *Curves) missing() string {
	text, gaps := "", false
	for i := range c.Lines {
		n := len(c.Lines[i].known())
		if n == 0 {
			text += " Nothing is known of " + c.Lines[i].Name + "."
		}
		gaps = gaps || n > 0 && n < len(c.Lines[i].Points) && !c.Lines[i].Dots
	}
	if gaps {
		text = "Gaps: not known there." + text
	}
	return text
}
