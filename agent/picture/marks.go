package picture

// shape draws a mark about a place.
type shape func(d *pen, x, y float64)

// marker is how measured points are drawn: no two have the same shape.
type marker struct {
	put  shape
	full bool // filled with its colour; else with the paper's
}

// half is how far a mark reaches from its middle.
const half = 2.6

// markers are those of the dots in one picture, in order.
var markers = [mostCurves]marker{
	{diamond, true}, {square, false}, {cross, false}, {pyramid, true}, {plus, false}, {funnel, false},
}

// attrs draws a marker in a hand's colour.
func (m marker) attrs(h hand) []string {
	fill := paper
	if m.full {
		fill = h.colour
	}
	return []string{"fill", fill, "stroke", h.colour, "stroke-width", "1.1"}
}

// polygon goes round places given as x, y from the middle.
func polygon(d *pen, x, y float64, corners ...float64) {
	d.move(x+corners[0], y+corners[1])
	for i := 2; i < len(corners); i += 2 {
		d.line(x+corners[i], y+corners[i+1])
	}
	d.WriteString("Z")
}

func diamond(d *pen, x, y float64) {
	polygon(d, x, y, 0, -half-0.6, half+0.6, 0, 0, half+0.6, -half-0.6, 0)
}

func square(d *pen, x, y float64) {
	polygon(d, x, y, -half, -half, half, -half, half, half, -half, half)
}

func pyramid(d *pen, x, y float64) { polygon(d, x, y, 0, -3.6, 3.2, 1.8, -3.2, 1.8) }

func funnel(d *pen, x, y float64) { polygon(d, x, y, 0, 3.6, -3.2, -1.8, 3.2, -1.8) }

func cross(d *pen, x, y float64) {
	d.move(x-half, y-half)
	d.line(x+half, y+half)
	d.move(x-half, y+half)
	d.line(x+half, y-half)
}

func plus(d *pen, x, y float64) {
	d.move(x-half-0.6, y)
	d.line(x+half+0.6, y)
	d.move(x, y-half-0.6)
	d.line(x, y+half+0.6)
}
