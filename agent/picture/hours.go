package picture

import "time"

const hoursHeight = 96.0 // four units an hour

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
	var lines pen
	for i, name := range []string{"12:00", "18:00", "0:00", "6:00", "12:00"} {
		y := top + float64(i)*hoursHeight/4
		lines.move(left, y)
		lines.WriteString("H" + num(right))
		words(g, left-3, y+3.5, "end", name)
	}
	g.add("path", "d", lines.String(), "stroke", faint, "stroke-width", "0.6")
	p.columns(g, top)
	p.y += hoursHeight + 4
	p.axis()
}

func (p *page) nightText() string {
	if p.NightsKnown {
		return "; shaded: sunset to sunrise"
	}
	return ""
}

// columns draws every day's runs as upright strokes as wide as the day. Columns of
// one width share a path, which keeps a season small.
func (p *page) columns(g *node, top float64) {
	var widths []string
	paths := make(map[string]*pen)
	for c := range p.Hours.ran {
		from, to, some := p.clip(p.Hours.noons[c], p.Hours.noons[c+1])
		if !some {
			continue
		}
		w := fine(p.x(to) - p.x(from))
		if paths[w] == nil {
			widths, paths[w] = append(widths, w), &pen{}
		}
		p.column(paths[w], c, (p.x(from)+p.x(to))/2, top)
	}
	for _, w := range widths {
		if paths[w].Len() > 0 {
			g.add("path", "class", "ran", "d", paths[w].String(), "stroke", strong, "stroke-width", w)
		}
	}
}

// column draws one day: in each cell a stroke as long as its share, so that few
// minutes in many cells look pale and hours look dark.
func (p *page) column(d *pen, c int, x, top float64) {
	const unit = hoursHeight / float64(24*time.Hour)
	end := -1.0 // of the stroke so far, from the top
	for i, held := range p.Hours.ran[c] {
		if held == 0 {
			continue
		}
		at, long := float64(i)*float64(p.Hours.cell)*unit, float64(held)*unit
		switch {
		case end < 0:
			d.move(x, top+at)
		case at-end > 0.005:
			d.WriteString("m0 " + fine(at-end))
			at = end + hundredths(at-end)
		}
		d.WriteString("v" + fine(long))
		end = at + hundredths(long)
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
