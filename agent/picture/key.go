package picture

const dash = 22.0 // length of a sample

// sample is one entry of a key: how something is drawn, and its name. Where nothing is
// drawn by put it is a stroke.
type sample struct {
	name  string
	attrs []string
	put   shape
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
	name := fit(s.name, small, c.wide-2*margin-dash-4, false)
	w := dash + 4 + textWidth(name, small, false)
	if *x > margin && *x+w > c.wide-margin {
		*x = margin
		c.y += row
	}
	var d pen
	if s.put != nil {
		s.put(&d, *x+dash/2, c.y-3.5)
	} else {
		d.move(*x, c.y-3.5)
		d.WriteString("h" + num(dash))
	}
	c.root.add("path", append([]string{"d", d.String()}, s.attrs...)...)
	words(c.root, *x+dash+4, c.y, "start", name)
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
	return []sample{{text, limitHand.attrs(), nil}}
}

// batteryHeading begins the battery's panel, with its key.
func (p *page) batteryHeading() {
	p.heading("Battery, % charged")
	all := []sample{
		{"taken for true", hands[0].attrs(), nil},
		{"may lie within", []string{"stroke", doubt, "stroke-opacity", "0.6", "stroke-width", "8"}, nil},
	}
	if r := p.Reserve; r.Known() {
		text := "reserve " + saidPercent(r.least.V)
		if most := saidPercent(r.most.V); most != saidPercent(r.least.V) {
			text += " to " + most
		}
		all = append(all, sample{text, limitHand.attrs(), nil})
	}
	p.key(all...)
}
