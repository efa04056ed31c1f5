package picture

import "time"

const hoursHeight = 96.0 // four units an hour

// hours draws at which hours something ran, and the nights, noon to noon.
func (p *page) hours() {
	if len(p.Hours.columns()) == 0 {
		return
	}
	p.heading("Hours at which the " + p.Hours.Name + " ran, darker for longer" + p.nightText())
	top := p.y
	g := p.root.add("g", "class", "hours")
	edges := p.nightColumns(g, top)
	p.grid(g, top, top+hoursHeight)
	var lines pen
	for i, name := range []string{"12:00", "18:00", "0:00", "6:00", "12:00"} {
		y := top + float64(i)*hoursHeight/4
		lines.move(p.left, y)
		lines.WriteString("H" + num(p.right))
		words(g, p.left-3, y+3.5, "end", name)
	}
	g.add("path", "d", lines.String(), "stroke", faint, "stroke-width", "0.6")
	p.columns(g, top)
	if edges != "" {
		g.add("path", "class", "sun", "d", edges, "fill", "none", "stroke", ink, "stroke-width", "0.8")
	}
	p.y += hoursHeight + 4
	p.axis()
}

func (p *page) nightText() string {
	if p.NightsKnown {
		return "; shaded: night"
	}
	return ""
}

// tones are the darkness of cells in which it ran for up to a quarter, a half, three
// quarters and all of the time.
var tones = [...]string{"0.25", "0.45", "0.7", "1"}

// tone is the number of a share's tone; -1 where it did not run.
func tone(held, cell time.Duration) int {
	return min(int((held*4+cell-1)/cell), len(tones)) - 1
}

// columns draws every day's runs as upright strokes as wide as the day. Strokes of
// one width and tone share a path, which keeps a season small.
func (p *page) columns(g *node, top float64) {
	var widths []string
	paths := make(map[string]*[len(tones)]pen)
	for c := range p.Hours.ran {
		from, to, some := p.clip(p.Hours.noons[c], p.Hours.noons[c+1])
		if !some {
			continue
		}
		w := fine(p.x(to) - p.x(from))
		if paths[w] == nil {
			widths, paths[w] = append(widths, w), &[len(tones)]pen{}
		}
		p.column(paths[w], c, (p.x(from)+p.x(to))/2, top)
	}
	for _, w := range widths {
		for i := range tones {
			if d := &paths[w][i]; d.Len() > 0 {
				g.add("path", "class", "ran", "d", d.String(), "stroke", strong, "stroke-width", w, "stroke-opacity", tones[i])
			}
		}
	}
}

// column draws one day: neighbouring cells of one tone are one stroke.
func (p *page) column(d *[len(tones)]pen, c int, x, top float64) {
	ran, unit := p.Hours.ran[c], hoursHeight/float64(len(p.Hours.ran[c]))
	for i := 0; i < len(ran); {
		k, n := tone(ran[i], p.Hours.cell), i+1
		for n < len(ran) && tone(ran[n], p.Hours.cell) == k {
			n++
		}
		if k >= 0 {
			d[k].move(x, top+float64(i)*unit)
			d[k].WriteString("v" + fine(float64(n-i)*unit))
		}
		i = n
	}
}

// nightColumns shades each column from sunset to sunrise by the clock, and returns
// the lines of sunset and sunrise: shading alone is too like a cell's palest tone.
func (p *page) nightColumns(g *node, top float64) string {
	var d, edges pen
	c := 0
	for _, n := range p.Nights {
		for c < len(p.Hours.noons)-2 && !n.Set.Before(p.Hours.noons[c+1]) {
			c++
		}
		for i := c; i < len(p.Hours.noons)-1 && n.Rise.After(p.Hours.noons[i]); i++ {
			p.darken(&d, &edges, n, p.Hours.noons[i], p.Hours.noons[i+1], top)
		}
	}
	if d.Len() > 0 {
		g.add("path", "class", "night", "d", d.String(), "fill", night)
	}
	return edges.String()
}

func (p *page) darken(d, edges *pen, n Night, noon, next time.Time, top float64) {
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
		for _, y := range []float64{set, rise} {
			if y > top && y < top+hoursHeight {
				edges.move(p.x(from), y)
				edges.WriteString("H" + fine(p.x(to)))
			}
		}
	}
}
