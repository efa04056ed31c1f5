package picture

import "strconv"

// Lengths of a row of bars. Chosen.
const (
	nameColumn = 130.0 // from the margin to the bars
	barHeight  = 11.0
	nameLine   = 12.0 // from one line of a name to the next
	rowGap     = 5.0  // above and below a name
)

// rows are bars while they are drawn.
type rows struct {
	across
	decimals int
	marked   *Bar
}

// lay lays the picture out, by how much room the numbers take.
func (b *Bars) lay() *rows {
	l := &rows{across: across{canvas: newCanvas(b.Title, b.description()), along: b.reach().seen()}, decimals: b.decimals(), marked: b.marked()}
	numbers := 0.0
	for _, x := range b.Rows {
		numbers = max(numbers, textWidth(plain(x.Value, l.decimals), small, x.Marked))
	}
	l.left, l.right = margin+nameColumn, width-margin-max(numbers+8, 20)
	l.ticks = l.along.within(l.right - l.left)
	l.titles(b.Title, b.Under, 0)
	l.heading(b.Unit)
	if key := b.samples(); len(key) > 0 {
		l.key(key...)
	}
	return l
}

func (b *Bars) samples() []sample {
	var all []sample
	switch m := b.marked(); {
	case m == nil:
	case m.Value == 0:
		all = append(all, sample{"as it is", []string{"stroke", night, "stroke-width", "9"}, nil})
	default:
		all = append(all, sample{"as it is", limitHand.attrs(), nil})
	}
	for _, x := range b.Rows {
		if x.Range != nil {
			return append(all, sample{"may lie within", []string{"fill", "none", "stroke", ink, "stroke-width", "1.1"}, whisker})
		}
	}
	return all
}

// whisker is the key's sample of a range.
func whisker(d *pen, x, y float64) { d.between(x-dash/2, x+dash/2, y) }

// between is a line across with an end at each side.
func (p *pen) between(x1, x2, y float64) {
	for _, x := range []float64{x1, x2} {
		p.move(x, y-2.5)
		p.WriteString("V" + fine(y+2.5))
	}
	p.move(x1, y)
	p.WriteString("H" + fine(x2))
}

// row draws one row: name, bar, range, number, and the note below.
func (l *rows) row(x *Bar) {
	g := l.root.add("g", "class", "row")
	room, weight := nameColumn-8, "normal"
	if x.Marked {
		room, weight = room/boldWider, "bold"
	}
	name := wrap(x.Name, small, room, 0)
	top := l.y
	bottom := top + float64(len(name))*nameLine + 2*rowGap
	if x.Marked {
		g.add("rect", "class", "marked", "x", num(margin-4), "y", num(top), "width", num(width-2*margin+8), "height", num(bottom-top), "fill", night)
	}
	l.uprights(g, top, bottom)
	for i, line := range name {
		words(g, margin, top+rowGap+float64(i+1)*nameLine-2.5, "start", line, "font-weight", weight)
	}
	l.bar(g, x, (top+bottom)/2)
	words(g, width-margin, (top+bottom)/2+3.5, "end", plain(x.Value, l.decimals), "font-weight", weight)
	l.y = bottom
	l.note(g, x.Note)
}

// uprights draws grid and zero through a row, and the mark of the row to compare with.
func (l *rows) uprights(g *node, top, bottom float64) {
	l.across.grid(g, top, bottom)
	g.add("path", "class", "zero", "d", upright(l.x(0), top, bottom), "stroke", ink, "stroke-width", "1")
	if l.marked != nil && l.marked.Value != 0 {
		g.add("path", append([]string{"class", "as-it-is", "d", upright(l.x(l.marked.Value), top, bottom)}, limitHand.attrs()...)...)
	}
}

func upright(x, top, bottom float64) string {
	return "M" + num(x) + " " + fine(top) + "V" + fine(bottom)
}

// bar draws a value from zero, dark above it and pale with an edge below, and its range.
func (l *rows) bar(g *node, x *Bar, y float64) {
	var d pen
	from, to := l.x(min(x.Value, 0)), l.x(max(x.Value, 0))
	d.box(from, y-barHeight/2, to, y+barHeight/2)
	fill := strong
	if x.Value < 0 {
		fill = paper
	}
	g.add("path", "class", "bar", "d", d.String(), "fill", fill, "stroke", strong, "stroke-width", "1")
	if x.Range == nil {
		return
	}
	var r pen
	r.between(l.x(x.Range.Low), l.x(x.Range.High), y)
	g.add("path", "d", r.String(), "fill", "none", "stroke", paper, "stroke-width", "3")
	g.add("path", "class", "range", "d", r.String(), "fill", "none", "stroke", ink, "stroke-width", "1.1")
}

func (l *rows) note(g *node, text string) {
	if text == "" {
		return
	}
	for _, line := range wrap(text, small, width-2*margin-8, 0) {
		words(g, margin+8, l.y+nameLine-4, "start", line)
		l.y += nameLine
	}
	l.y += 3
}

// close ends the rows with their scale.
func (l *rows) close() { l.axis("") }

// plain is a number with so many decimals.
func plain(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if z := strconv.FormatFloat(0, 'f', decimals, 64); s == "-"+z {
		return z
	}
	return s
}
