package picture

const dash = 22.0 // length of a sample

// sample is one entry of a key: how something is drawn, and its name.
type sample struct {
	name  string
	attrs []string
}

// key shows samples with their names, in as many rows as they need.
func (c *canvas) key(all ...sample) {
	x := margin
	c.y += row - 4
	for _, s := range all {
		c.sample(&x, s)
	}
	c.y += 7
}

func (c *canvas) sample(x *float64, s sample) {
	w := dash + 4 + textWidth(s.name, small, false)
	if *x > margin && *x+w > width-margin {
		*x = margin
		c.y += row
	}
	d := "M" + fine(*x) + " " + fine(c.y-3.5) + "h" + num(dash)
	c.root.add("path", append([]string{"d", d}, s.attrs...)...)
	words(c.root, *x+dash+4, c.y, "start", s.name)
	*x += w + 10
}

// minimumSample is the crop's minimum with its value, or values; nothing without one.
func (p *page) minimumSample() []sample {
	n := len(p.Minimum)
	if n == 0 {
		return nil
	}
	text := "crop minimum " + p.said(p.Minimum[0].V)
	if n > 1 {
		text += ", later " + p.said(p.Minimum[n-1].V)
	}
	return []sample{{text, limitHand.attrs()}}
}

// batteryHeading begins the battery's panel, with its key.
func (p *page) batteryHeading() {
	p.heading("Battery, % charged")
	all := []sample{
		{"taken for true", hands[0].attrs()},
		{"may lie within", []string{"stroke", doubt, "stroke-opacity", "0.6", "stroke-width", "8"}},
	}
	if r := p.Reserve; r.Known() {
		text := "reserve " + saidPercent(r.least.V)
		if most := saidPercent(r.most.V); most != saidPercent(r.least.V) {
			text += " to " + most
		}
		all = append(all, sample{text, limitHand.attrs()})
	}
	p.key(all...)
}
