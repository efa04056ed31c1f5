package svgtest

import (
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strings"
)

// Element is one element of a picture.
type Element struct {
	Name string
	Attr map[string]string
	Text string // its own, trimmed
	Kids []*Element
	up   *Element
}

// allowed are the elements of a picture that runs nothing and fetches nothing.
var allowed = []string{"svg", "title", "desc", "g", "rect", "path", "text", "tspan"}

// Parse reads a whole picture. It refuses what is not well-formed, elements that a
// still picture does not need, and every reference to something else.
func Parse(r io.Reader) (*Element, error) {
	d := xml.NewDecoder(r)
	var root, at *Element
	for {
		token, err := d.Token()
		if err == io.EOF && root != nil && at == nil {
			return root, nil
		}
		if err != nil {
			return nil, fmt.Errorf("not well-formed: %w", err)
		}
		switch x := token.(type) {
		case xml.StartElement:
			if at, err = open(at, x); err != nil {
				return nil, err
			}
			if root == nil {
				root = at
			}
		case xml.EndElement:
			at = at.up
		case xml.CharData:
			if at != nil {
				at.Text = strings.TrimRight(at.Text+string(x), " \n")
			}
		}
	}
}

func open(up *Element, x xml.StartElement) (*Element, error) {
	e := &Element{Name: x.Name.Local, Attr: make(map[string]string), up: up}
	if !slices.Contains(allowed, e.Name) {
		return nil, fmt.Errorf("element %s has no place in a still picture", e.Name)
	}
	for _, a := range x.Attr {
		if a.Name.Local != "xmlns" && (strings.Contains(a.Value, "//") || strings.Contains(a.Value, "url(") ||
			strings.HasPrefix(a.Name.Local, "on") || strings.Contains(a.Name.Local, "href")) {
			return nil, fmt.Errorf("%s %s=%q refers to something else", e.Name, a.Name.Local, a.Value)
		}
		e.Attr[a.Name.Local] = a.Value
	}
	if up != nil {
		up.Kids = append(up.Kids, e)
	}
	return e, nil
}

// Walk calls do with the element and all below it.
func (e *Element) Walk(do func(*Element)) {
	do(e)
	for _, k := range e.Kids {
		k.Walk(do)
	}
}

// Class is the first element below that is of a class; nil where there is none.
func (e *Element) Class(name string) *Element {
	for _, x := range e.Classes(name) {
		return x
	}
	return nil
}

// Classes are all elements below of a class.
func (e *Element) Classes(name string) []*Element {
	var all []*Element
	e.Walk(func(x *Element) {
		if x.Attr["class"] == name {
			all = append(all, x)
		}
	})
	return all
}

// Inherited is an attribute of the element or of the nearest one around it.
func (e *Element) Inherited(name string) string {
	for x := e; x != nil; x = x.up {
		if v, is := x.Attr[name]; is {
			return v
		}
	}
	return ""
}

// Words is the text of the element and all below it.
func (e *Element) Words() string {
	text := e.Text
	for _, k := range e.Kids {
		text += k.Words()
	}
	return text
}
