package picture

import "strconv"

// Lengths of a row of bars. Chosen.
const (
	nameColumn = 140.0 // from the margin to the bars
	barHeight  = 11.0
	nameLine   = 12.0 // from one line of a name or note to the next
	rowGap     = 5.0  // above and below a name
)

// pale is for words that come second, with a contrast of 9 to 1 on paper.
const pale = "#4a4a4a"

var rangeHand = hand{ink, "1.2", ""}

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
	l.left, l.right = margin+nameColumn, l.wide-margin-max(numbers+8, 20)
	l.divide()
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
			return append(all, sample{"may lie within", rangeHand.attrs(), whisker})
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

// row draws one row: name with its note, bar, range and number.
func (l *rows) row(x *Bar) {
	g := l.root.add("g", "class", "row")
	room, weight := nameColumn-8, "normal"
	if x.Marked {
		room, weight = room/boldWider, "bold"
	}
	name, note := wrap(x.Name, small, room, 0), wrap(x.Note, small, nameColumn-8, 0)
	if x.Note == "" {
		note = nil
	}
	top := l.y
	l.y += float64(len(name)+len(note))*nameLine + 2*rowGap
	if x.Marked {
		g.add("rect", "x", num(margin-4), "y", num(top), "width", num(l.wide-2*margin+8), "height", num(l.y-top), "fill", night)
	}
	l.uprights(g, top, l.y)
	middle := top + rowGap + float64(len(name))*nameLine/2
	l.bar(g, x, middle)
	words(g, l.wide-margin, middle+3.5, "end", plain(x.Value, l.decimals), "font-weight", weight)
	l.lines(g, top+rowGap, name, "font-weight", weight)
	l.lines(g, top+rowGap+float64(len(name))*nameLine, note, "fill", pale)
}

// lines writes lines in the names' column, from top down.
func (l *rows) lines(g *node, top float64, lines []string, more ...string) {
	for i, line := range lines {
		words(g, margin, top+float64(i+1)*nameLine-2.5, "start", line, more...)
	}
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

// bar draws a value from zero, filled above it and empty below, and its range.
func (l *rows) bar(g *node, x *Bar, y float64) {
	var d pen
	d.box(l.x(min(x.Value, 0)), y-barHeight/2, l.x(max(x.Value, 0)), y+barHeight/2)
	fill := doubt
	if x.Value < 0 {
		fill = paper
	}
	g.add("path", "class", "bar", "d", d.String(), "fill", fill, "stroke", strong, "stroke-width", "1")
	if x.Range != nil {
		var r pen
		r.between(l.x(x.Range.Low), l.x(x.Range.High), y)
		g.add("path", append([]string{"class", "range", "d", r.String()}, rangeHand.attrs()...)...)
	}
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
