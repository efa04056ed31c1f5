package picture

import (
	"fmt"
	"io"
	"strings"

	"duskloop/sensors/quantity"
)

// Beside is one stretch of time lived in several ways, drawn as small pictures with the
// same axes. It is always simulated: nobody lives a night twice.
type Beside struct {
	Frame
	Place   string
	Units   quantity.Units
	Minimum float64 // °C, of the crop
	Why     string  // this stretch; a sentence
	Nights  []Night
	Ways    []Way
}

// Way is how the stretch went in one way.
type Way struct {
	Name, Gloss         string
	Tunnel, House, Tank *Trace
	Pump                *Lane
	Below               float64 // K²·h of tunnel air below the crop's minimum
	Used                float64 // Wh, by pump and fans
}

// Cells stand in two columns; between them is the second one's scale. Chosen so that a
// telephone shows them side by side.
const (
	cellWidth   = 150.0
	cellShift   = 190.0 // from one column to the next
	cellAir     = 100.0
	cellTank    = 30.0
	cellBetween = 8.0
)

// cellTunnel is finer than hands[0]: pulses of some minutes must not hide what is filled.
var cellTunnel = hand{"#14532d", "1.2", ""}

// coldFill is the area below the crop's minimum.
const coldFill = "#b3261e"

// Write writes the picture.
func (b *Beside) Write(w io.Writer) error { return asFile(w, b) }

func (b *Beside) drawn() (*canvas, error) {
	for _, x := range b.Ways {
		if !x.Tunnel.Known() || !x.House.Known() || !x.Tank.Known() {
			return nil, ErrNothing
		}
	}
	if len(b.Ways) == 0 {
		return nil, ErrNothing
	}
	s := &Sheet{
		Frame: b.Frame, Place: b.Place, Simulated: true, Units: b.Units, NightsKnown: true, Nights: b.Nights,
		Minimum: Level{{From: b.From, V: b.Minimum}},
	}
	p := titled(s, b.heading()+", "+s.span()+" (simulated)", b.description(s))
	p.titles(b.heading(), s.span()+"; "+s.clock(), p.tag())
	p.besideKey()
	b.cells(p)
	p.besideFooter(b.Why)
	return p.done(), nil
}

func (b *Beside) heading() string {
	if len(b.Ways) == 1 {
		return b.Place + ": a hard night"
	}
	return fmt.Sprintf("%s: a hard night, %d ways", b.Place, len(b.Ways))
}

// description says each way in a sentence.
func (b *Beside) description(s *Sheet) string {
	parts := []string{"All of it is simulated. The crop's minimum is " + s.said(b.Minimum) + "."}
	for i := range b.Ways {
		parts = append(parts, capital(b.Ways[i].Name)+": "+strings.Join(b.Ways[i].caption(s), "; ")+".")
	}
	return strings.Join(parts, " ")
}

// caption is the way in figures, a line each.
func (x *Way) caption(s *Sheet) []string {
	unit, below := "K²·h", x.Below
	if s.Units == quantity.US {
		unit, below = "°F²·h", 1.8*1.8*below
	}
	return []string{
		x.Gloss,
		fmt.Sprintf("%.0f %s below minimum", below, unit),
		fmt.Sprintf("lowest %.1f %s; battery %.0f Wh", s.degrees(x.Tunnel.least.V), s.unit(), x.Used),
	}
}

func (p *page) besideKey() {
	p.key(append([]sample{
		{"tunnel", cellTunnel.attrs(), nil}, {"greenhouse", hands[1].attrs(), nil}, {"tank", tankHand.attrs(), nil},
		{"too cold", []string{"stroke", coldFill, "stroke-opacity", "0.55", "stroke-width", "8"}, nil},
		{"pump ran", []string{"stroke", ink, "stroke-width", "6"}, nil},
	}, p.minimumSample()...)...)
	p.y += 2
}

func (p *page) besideFooter(why string) {
	text := why + " Shaded: sunset to sunrise. " +
		"Upper scale: air, lower: tank, " + p.unit() + "."
	p.footnote(text)
}

// cells draws the ways, two in a row.
func (b *Beside) cells(p *page) {
	air, tank := b.ranges(p.Sheet)
	top, bottom := p.y, p.y
	for i := range b.Ways {
		if i%2 == 0 {
			top = bottom
		}
		p.y, p.left = top, left-4+float64(i%2)*cellShift
		p.right = p.left + cellWidth
		p.marks = timeMarks(p.Frame, cellWidth, p.clockForm())
		p.cell(&b.Ways[i], air, tank)
		bottom = p.y
	}
}

// ranges are the least and the greatest of all ways, so that every cell has one scale.
func (b *Beside) ranges(s *Sheet) (air, tank reach) {
	air = reach{b.Minimum, b.Minimum}
	tank = reach{b.Ways[0].Tank.least.V, b.Ways[0].Tank.most.V}
	for _, x := range b.Ways {
		air.low = min(air.low, x.Tunnel.least.V, x.House.least.V)
		air.high = max(air.high, x.Tunnel.most.V, x.House.most.V)
		tank.low, tank.high = min(tank.low, x.Tank.least.V), max(tank.high, x.Tank.most.V)
	}
	in := func(r reach) reach { return reach{s.degrees(r.low), s.degrees(r.high)} }
	return in(air), in(tank)
}

func (p *page) cell(x *Way, air, tank reach) {
	from := p.left - left + 4 + margin
	room := p.right - from
	p.y += row
	words(p.root, from, p.y, "start", fit(x.Name, big-3, room, true), "font-weight", "bold", "font-size", num(big-3))
	for _, line := range x.caption(p.Sheet) {
		p.y += row - 1
		words(p.root, from, p.y, "start", fit(line, small, room, false))
	}
	p.y += 6
	f := p.field("way air-panel", air.low, air.high, cellAir)
	f.cold(x.Tunnel, p.Minimum[0].V)
	f.line(x.House, hands[1], p.degrees)
	f.line(x.Tunnel, cellTunnel, p.degrees)
	f.limit(p.Minimum, "minimum", p.degrees)
	p.y += cellBetween
	p.field("way tank-panel", tank.low, tank.high, cellTank).line(x.Tank, tankHand, p.degrees)
	p.runs(x.Pump, ink)
	p.cellHours()
}

// cold fills what lies between a trace and a level above it.
func (f *panel) cold(t *Trace, level float64) {
	var d pen
	top := f.at(f.degrees(level))
	for _, run := range t.runs() {
		d.move(f.x(run[0].At), top)
		for _, p := range run {
			d.line(f.x(p.At), f.at(f.degrees(min(p.V, level))))
		}
		d.line(f.x(run[len(run)-1].At), top)
		d.WriteString("Z")
	}
	f.g.add("path", "class", "cold", "d", d.String(), "fill", coldFill, "fill-opacity", "0.55")
}

// cellHours names the hours below a cell.
func (p *page) cellHours() {
	g := p.root.add("g", "class", "hours-of-day", "text-anchor", "middle")
	for _, m := range p.marks {
		words(g, p.x(m.at), p.y+row-3, "start", m.label)
	}
	p.y += row + 6
}
