package picture

// across is a canvas with a plain number along its x axis.
type across struct {
	*canvas
	along reach
	ticks ticks // those within along
}

// divide finds round numbers, as many as have room side by side: at least two, for of
// four neighbours of one step two are numbers of the next.
func (p *across) divide() {
	for most := 8; most > 2; most-- {
		if p.ticks = p.along.inside(most); p.ticks.fit(p.right - p.left) {
			break
		}
	}
}

// x is where a number stands.
func (p *across) x(v float64) float64 {
	return p.left + (v-p.along.low)/(p.along.high-p.along.low)*(p.right-p.left)
}

// grid marks the numbers from top to bottom.
func (p *across) grid(to *node, top, bottom float64) {
	var d pen
	for _, v := range p.ticks.marks() {
		d.move(p.x(v), top)
		d.WriteString("V" + fine(bottom))
	}
	to.add("path", "class", "numbers", "d", d.String(), "stroke", faint, "stroke-width", "0.6")
}

// axis writes the numbers below what was drawn last, and what they count.
func (p *across) axis(text string) {
	g := p.root.add("g", "class", "axis", "text-anchor", "middle")
	for _, v := range p.ticks.marks() {
		words(g, p.x(v), p.y+row-3, "start", p.ticks.label(v))
	}
	p.y += row
	for _, line := range wrap(text, small, p.wide-2*margin, 0) {
		if line != "" {
			p.y += row
			p.about((p.left+p.right)/2, p.y-2, line)
		}
	}
	p.y += 6
}

// about writes a line of text with its middle at x, or as near as it fits.
func (c *canvas) about(x, y float64, text string, more ...string) {
	text = fit(text, small, c.wide-2*margin, false)
	w := textWidth(text, small, false)
	words(c.root, min(max(x-w/2, margin), c.wide-margin-w), y, "start", text, more...)
}
