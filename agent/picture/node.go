package picture

import (
	"encoding/xml"
	"io"
	"strconv"
	"strings"
)

// node is one element of the picture.
type node struct {
	name string
	attr []xml.Attr
	text string
	kids []*node
}

// add appends a child; attributes come as name, value, name, value.
func (n *node) add(name string, pairs ...string) *node {
	k := &node{name: name}
	k.set(pairs...)
	n.kids = append(n.kids, k)
	return k
}

func (n *node) set(pairs ...string) {
	for i := 0; i+1 < len(pairs); i += 2 {
		n.attr = append(n.attr, xml.Attr{Name: xml.Name{Local: pairs[i]}, Value: pairs[i+1]})
	}
}

// change gives an attribute that is set another value.
func (n *node) change(name, value string) {
	for i := range n.attr {
		if n.attr[i].Name.Local == name {
			n.attr[i].Value = value
		}
	}
}

// write writes the node and all below it, an element a line; text keeps its own.
func (n *node) write(w io.Writer) error {
	e := xml.NewEncoder(w)
	if err := n.encode(e, "\n"); err != nil {
		return err
	}
	if err := e.EncodeToken(xml.CharData("\n")); err != nil {
		return err
	}
	return e.Flush()
}

func (n *node) encode(e *xml.Encoder, indent string) error {
	start := xml.StartElement{Name: xml.Name{Local: n.name}, Attr: n.attr}
	if err := e.EncodeToken(start); err != nil {
		return err
	}
	if err := n.inside(e, indent); err != nil {
		return err
	}
	return e.EncodeToken(start.End())
}

func (n *node) inside(e *xml.Encoder, indent string) error {
	flow := n.text != "" || n.name == "text" // spaces would show there
	if err := e.EncodeToken(xml.CharData(n.text)); err != nil {
		return err
	}
	for _, k := range n.kids {
		if !flow {
			if err := e.EncodeToken(xml.CharData(indent + " ")); err != nil {
				return err
			}
		}
		if err := k.encode(e, indent+" "); err != nil {
			return err
		}
	}
	if len(n.kids) > 0 && !flow {
		return e.EncodeToken(xml.CharData(indent))
	}
	return nil
}

// num prints a coordinate to a thousandth of a unit: a second at ten days.
func num(v float64) string { return trimmed(v, 3) }

// fine prints a coordinate to a hundredth, for the many points of a line.
func fine(v float64) string { return trimmed(v, 2) }

func trimmed(v float64, digits int) string {
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if digits > 0 {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// pen is a path being written.
type pen struct{ strings.Builder }

func (p *pen) move(x, y float64) { p.pair("M", x, y) }
func (p *pen) line(x, y float64) { p.pair(" ", x, y) } // pairs after a move are lines

func (p *pen) pair(how string, x, y float64) {
	p.WriteString(how + fine(x) + " " + fine(y))
}

// box is a filled rectangle; its edges across are told to a thousandth.
func (p *pen) box(x1, y1, x2, y2 float64) {
	p.WriteString("M" + num(x1) + " " + fine(y1) + "H" + num(x2) + "V" + fine(y2) + "H" + num(x1) + "Z")
}
