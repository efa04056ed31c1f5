package picture

const (
	plotHeight = 180.0
	mostNames  = 110.0 // the widest column of names at the right
	finest     = 0.25  // of neighbours nearer than this one is drawn
)

// plot is a field of a number over another.
type plot struct {
	across
	scale
}

// plot lays the picture out: how much room the scale and the names at the right take.
func (c *Curves) plot(x, y reach) *plot {
	p := &plot{across: across{canvas: newCanvas(c.Title, c.description()), along: c.padded(x.seen())}}
	y = y.seen()
	t := widened(y.low, y.high, 6)
	p.left = max(left, margin+t.widest()+4)
	p.right = p.wide - max(c.column(p.along), 20)
	p.divide()
	p.right = min(p.right, p.wide-4-p.ticks.widest()/2)
	p.titles(c.Title, c.Under, 0)
	p.heading(capital(c.Y.text()))
	p.key(c.samples()...)
	c.field(p, t)
	return p
}

// padded leaves room for marks at both ends.
func (c *Curves) padded(x reach) reach {
	for i := range c.Lines {
		if c.Lines[i].Dots {
			more := (x.high - x.low) / 50
			return reach{x.low - more, x.high + more}
		}
	}
	return x
}

// field lays the field out, with grid and scale.
func (c *Curves) field(p *plot, t ticks) {
	if c.Marked != nil {
		p.y += row
		p.about(p.x(*c.Marked), p.y-6, c.markedAs()+": "+c.X.said(*c.Marked), "class", "marked-name")
	}
	p.scale = scale{low: t.low, high: t.high, top: p.y, bottom: p.y + plotHeight}
	p.g = p.root.add("g", "class", "plot")
	p.grid(p.g, p.top, p.bottom)
	p.values(&p.scale, t)
	p.border(p.g, p.top, p.bottom)
	p.y = p.bottom + 4
}

// drawing is a curve with how it is drawn.
type drawing struct {
	*Curve
	hand
	marker
}

// drawings are the curves with anything to draw. Lines and dots each have their hands in
// order, whether or not the others are known.
func (c *Curves) drawings() []drawing {
	var all []drawing
	var lines, dots int
	for i := range c.Lines {
		n := &lines
		if c.Lines[i].Dots {
			n = &dots
		}
		if len(c.Lines[i].known()) > 0 {
			all = append(all, drawing{&c.Lines[i], curveHands[*n], markers[*n]})
		}
		*n++
	}
	return all
}

// samples are the key: every curve, and every limit with its value.
func (c *Curves) samples() []sample {
	var all []sample
	for _, d := range c.drawings() {
		if d.Dots {
			all = append(all, sample{d.Name, d.marker.attrs(d.hand), d.put})
		} else {
			all = append(all, sample{d.Name, d.hand.attrs(), nil})
		}
	}
	for _, r := range c.Rules {
		all = append(all, sample{r.Name + ": " + c.Y.said(r.Y), limitHand.attrs(), nil})
	}
	return all
}

// column is how wide the names at the right are.
func (c *Curves) column(along reach) float64 {
	most := 0.0
	for _, r := range c.Rules {
		most = max(most, textWidth(r.Name, small, false))
	}
	for _, d := range c.drawings() {
		if d.ends(along) {
			most = max(most, textWidth(d.Name, small, false))
		}
	}
	return min(most+6, mostNames)
}

// ends says whether a line comes to the right end, to have its name there.
func (d *drawing) ends(along reach) bool {
	p := d.known()
	return !d.Dots && p[len(p)-1].X >= along.low+nearEnd*(along.high-along.low)
}
