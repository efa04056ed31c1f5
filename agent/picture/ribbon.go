package picture

import (
	"strings"
	"time"
)

const laneHeight = 8.0

// ribbon draws what ran and why, a lane each, its words above it.
func (p *page) ribbon() {
	p.heading("What ran, and why" + p.shareText())
	top := p.y
	g := p.root.add("g", "class", "ribbon")
	at := len(g.kids)
	for _, l := range p.Ran {
		p.lane(g, l, ink)
	}
	for _, l := range p.Why {
		p.lane(g, l, strong)
	}
	if p.Silent != nil && p.Silent.total > 0 {
		p.lane(g, p.Silent, "#8d8d8d")
	}
	ground := &node{}
	p.shade(ground, top, p.y)
	p.grid(ground, top, p.y)
	g.kids = append(g.kids[:at:at], append(ground.kids, g.kids[at:]...)...)
	p.y += 2
}

// shareText explains the heights of bars, where they have any.
func (p *page) shareText() string {
	switch {
	case p.edges == nil:
		return ""
	case p.Daily():
		return ": height is the share " + p.each()
	}
	return ": height is the share of each " + lasting(p.edges[1].Sub(p.edges[0]))
}

// lane draws one lane below its words.
func (p *page) lane(g *node, l *Lane, colour string) {
	p.laneWords(g, l)
	top := p.y
	p.y += laneHeight + 3
	var d pen
	for _, s := range l.spans {
		d.box(p.x(s.from), top, max(p.x(s.to), p.x(s.from)+0.3), top+laneHeight)
	}
	for i, held := range l.held {
		from, to, some := p.clip(p.edges[i], p.edges[i+1])
		if some && held > 0 {
			share := min(float64(held)/float64(to.Sub(from)), 1)
			d.box(p.x(from), top+laneHeight*(1-share), p.x(to), top+laneHeight)
		}
	}
	g.add("path", "d", "M"+num(left)+" "+fine(top+laneHeight)+"H"+num(right), "stroke", "#8d8d8d", "stroke-width", "0.5")
	g.add("path", "class", "lane", "d", d.String(), "fill", colour)
}

// laneWords writes what a lane is and for how long it held.
func (p *page) laneWords(g *node, l *Lane) {
	text := l.Head + ", " + lasting(l.total)
	if l.Text != "" {
		text += ": " + l.Text
	}
	less := textWidth(l.Head, small, true) - textWidth(l.Head, small, false)
	for i, line := range wrap(text, small, width-2*margin, less) {
		p.y += row - 1
		t := words(g, margin, p.y, "start", "", halo()...)
		rest, headed := strings.CutPrefix(line, l.Head)
		if i == 0 && headed {
			t.add("tspan", "font-weight", "bold").text = l.Head
			t.add("tspan").text = rest
			continue
		}
		t.text = line
	}
	p.y += 3
}

// halo keeps words readable on lines and shading.
func halo() []string {
	return []string{"stroke", paper, "stroke-width", "2.4", "stroke-linejoin", "round", "paint-order", "stroke"}
}

// lasting is a length of time by its two largest parts.
func lasting(d time.Duration) string {
	switch {
	case d < time.Minute:
		return trimmed(d.Seconds(), 0) + " s"
	case d < time.Hour:
		return trimmed(d.Minutes(), 0) + " min"
	case d < 100*time.Hour:
		m := int(d.Round(time.Minute) / time.Minute)
		if m%60 == 0 {
			return trimmed(float64(m/60), 0) + " h"
		}
		return trimmed(float64(m/60), 0) + " h " + trimmed(float64(m%60), 0) + " min"
	}
	return trimmed(d.Hours(), 0) + " h"
}
