package picture

import (
	"slices"
	"strings"
	"time"
)

const laneHeight = 8.0

// ribbon draws what ran and why, a lane each, its words above it.
func (p *page) ribbon() {
	p.heading("What ran, and why" + p.shareText())
	p.y -= 5
	for _, l := range p.Ran {
		p.lane(l, ink)
	}
	if p.Ahead != nil && p.Ahead.Pump != nil && p.Ahead.Pump.total > 0 {
		p.lane(p.Ahead.Pump, doubt)
	}
	for _, l := range p.Why {
		p.lane(l, strong)
	}
	if p.Silent != nil && p.Silent.total > 0 {
		p.lane(p.Silent, silent)
	}
	p.y += 1
}

// shareText explains the heights of bars, where they have any.
func (p *page) shareText() string {
	switch {
	case p.edges == nil:
		return ""
	case p.Daily():
		return ": bars by days; at the right, what a full bar is"
	}
	return ": height is the share of each " + lasting(p.edges[1].Sub(p.edges[0]))
}

// lane draws one lane below its words.
func (p *page) lane(l *Lane, colour string) {
	p.laneWords(l)
	if g, full := p.runs(l, colour), p.full(l); full > 0 {
		words(g, p.right+4, p.y, "start", lasting(full))
	}
}

// runs draws a lane's bars, without words.
func (p *page) runs(l *Lane, colour string) *node {
	top := p.y
	p.y += laneHeight
	g := p.root.add("g", "class", "lane")
	p.shade(g, top, p.y)
	p.grid(g, top, p.y)
	var d pen
	for _, s := range l.spans {
		d.box(p.x(s.from), top, max(p.x(s.to), p.x(s.from)+0.3), p.y)
	}
	p.outline(&d, l, p.full(l))
	if d.Len() > 0 {
		g.add("path", "class", "held", "d", d.String(), "fill", colour)
	}
	return g
}

// outline goes round the bars of neighbouring buckets in one stroke, which is half
// as long as a box each. A full bar is full long, or the whole bucket where full is 0.
func (p *page) outline(d *pen, l *Lane, full time.Duration) {
	open := false
	for i, held := range l.held {
		from, to, some := p.clip(p.edges[i], p.edges[i+1])
		if !some || held == 0 {
			if open {
				d.WriteString("V" + fine(p.y) + "Z")
			}
			open = false
			continue
		}
		long := full
		if full == 0 {
			long = to.Sub(from)
		}
		if !open {
			d.move(p.x(from), p.y)
		}
		open = true
		d.WriteString("V" + fine(p.y-laneHeight*min(float64(held)/float64(long), 1)) + "H" + fine(p.x(to)))
	}
	if open {
		d.WriteString("V" + fine(p.y) + "Z")
	}
}

// full is the longest that a lane held in one bucket of days; 0 where bars are
// shares.
func (p *page) full(l *Lane) time.Duration {
	if !p.Daily() || l.total == 0 {
		return 0
	}
	return slices.Max(l.held)
}

// laneWords writes what a lane is, and for how long it held.
func (p *page) laneWords(l *Lane) {
	text := l.Head + ", " + lasting(l.total)
	if l.Text != "" {
		text += ": " + l.Text
	}
	less := textWidth(l.Head, small, true) - textWidth(l.Head, small, false)
	p.y += 2
	for i, line := range wrap(text, small, p.wide-2*margin, less) {
		p.y += row - 1
		t := words(p.root, margin, p.y, "start", "")
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

// lasting is a length of time by its two largest parts.
func lasting(d time.Duration) string {
	switch {
	case d == 0:
		return "not once"
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
