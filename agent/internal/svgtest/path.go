package svgtest

import (
	"fmt"
	"regexp"
	"strings"
)

// Point is a place in the picture, in its units.
type Point struct{ X, Y float64 }

var command = regexp.MustCompile(`[A-Za-z][^A-Za-z]*`)

// Path reads path data (SVG 1.1, section 8.3) with the commands M, m, L, H, h, V, v
// and Z into its subpaths, in absolute places.
func Path(d string) ([][]Point, error) {
	var (
		all [][]Point
		at  Point
	)
	put := func(p Point) {
		at = p
		all[len(all)-1] = append(all[len(all)-1], p)
	}
	for _, c := range command.FindAllString(d, -1) {
		var v []float64
		for _, s := range number.FindAllString(c[1:], -1) {
			v = append(v, parse(s))
		}
		if c[0] != 'M' && c[0] != 'm' && len(all) == 0 {
			return nil, fmt.Errorf("path begins with %q", c)
		}
		switch {
		case (c[0] == 'M' || c[0] == 'L' || c[0] == 'm') && len(v) >= 2 && len(v)%2 == 0:
			for i := 0; i < len(v); i += 2 {
				p := Point{v[i], v[i+1]}
				if c[0] == 'm' {
					p = Point{at.X + v[i], at.Y + v[i+1]}
				}
				if i == 0 && c[0] != 'L' {
					all = append(all, nil)
				}
				put(p)
			}
		case c[0] == 'H' && len(v) == 1:
			put(Point{v[0], at.Y})
		case c[0] == 'h' && len(v) == 1:
			put(Point{at.X + v[0], at.Y})
		case c[0] == 'V' && len(v) == 1:
			put(Point{at.X, v[0]})
		case c[0] == 'v' && len(v) == 1:
			put(Point{at.X, at.Y + v[0]})
		case strings.TrimSpace(c) == "Z":
		default:
			return nil, fmt.Errorf("path has %q", c)
		}
	}
	return all, nil
}

// Box is a rectangle in the picture.
type Box struct{ Left, Top, Right, Bottom float64 }

// Over says whether two boxes share more than an edge.
func (b Box) Over(o Box) bool {
	return b.Left < o.Right && o.Left < b.Right && b.Top < o.Bottom && o.Top < b.Bottom
}

// Within says whether the box lies inside another.
func (b Box) Within(o Box) bool {
	return b.Left >= o.Left && b.Right <= o.Right && b.Top >= o.Top && b.Bottom <= o.Bottom
}

// View is the picture's own box.
func (e *Element) View() (Box, error) {
	v := number.FindAllString(e.Attr["viewBox"], -1)
	if len(v) != 4 {
		return Box{}, fmt.Errorf("viewBox %q", e.Attr["viewBox"])
	}
	return Box{parse(v[0]), parse(v[1]), parse(v[0]) + parse(v[2]), parse(v[1]) + parse(v[3])}, nil
}

// Text is a line of text with where it stands.
type Text struct {
	Words string
	Size  float64
	Bold  bool
	Box
}

// Texts are all texts of the picture; width says how wide one comes out. Letters
// reach three quarters of their size above the line and a fifth below (estimate of
// ours for common sans-serif faces).
func (e *Element) Texts(width func(words string, size float64, bold bool) float64) []Text {
	var all []Text
	e.Walk(func(x *Element) {
		if x.Name != "text" {
			return
		}
		t := Text{Words: x.Words(), Size: parse(x.Inherited("font-size")), Bold: x.Inherited("font-weight") == "bold"}
		w := width(x.Text, t.Size, t.Bold)
		for _, k := range x.Kids {
			w += width(k.Text, t.Size, k.Inherited("font-weight") == "bold")
		}
		left, base := parse(x.Attr["x"]), parse(x.Attr["y"])
		left -= map[string]float64{"middle": 0.5, "end": 1}[x.Inherited("text-anchor")] * w
		t.Box = Box{left, base - 0.75*t.Size, left + w, base + 0.2*t.Size}
		all = append(all, t)
	})
	return all
}
