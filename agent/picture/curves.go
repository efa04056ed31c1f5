package picture

import (
	"fmt"
	"io"
	"math"
	"strings"
)

// Curves are lines and measured points of y over a plain number x.
type Curves struct {
	Title, Under string // Under stands below the title; may be empty
	X, Y         Axis
	Lines        []Curve // at most six of lines and six of dots
	Rules        []Rule  // at most six
	Marked       *float64
	MarkedAs     string // the name of Marked; empty: "as it is"
	Says         string // for those who cannot see; empty: each curve's ends are told
}

// Axis is what is counted along one side, in the unit that is shown. Either may be empty.
type Axis struct{ Name, Unit string }

// Spot is one point. One that is NaN or infinite is not known: a line has a gap there.
type Spot struct{ X, Y float64 }

// Curve is a line through its points in their order, or with Dots a mark for each. A line
// and dots of the same place in Lines, each counted by itself, have the same colour.
type Curve struct {
	Name   string
	Points []Spot
	Dots   bool
}

// Rule is a limit that is the same for every x. The key tells its value.
type Rule struct {
	Name string
	Y    float64
}

const (
	// mostCurves is how many can be told apart, by dashes or by marks.
	mostCurves = 6
	// mostValue is the largest number with room at an axis. Who has more, or has less
	// than some thousandths, takes another unit.
	mostValue = 1e6
)

// Write writes the picture; ErrNothing where no point is known.
func (c *Curves) Write(w io.Writer) error { return asFile(w, c) }

func (c *Curves) drawn() (*canvas, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	x, y := c.reaches()
	if x.low > x.high {
		return nil, ErrNothing
	}
	p := c.plot(x, y)
	c.draw(p)
	return p.done(), nil
}

// check refuses what cannot be drawn, or not be told apart.
func (c *Curves) check() error {
	lines, dots := 0, 0
	for i := range c.Lines {
		if c.Lines[i].Dots {
			dots++
		} else {
			lines++
		}
		if err := c.Lines[i].check(); err != nil {
			return err
		}
	}
	if max(lines, dots, len(c.Rules)) > mostCurves {
		return fmt.Errorf("%d lines, %d curves of dots and %d limits in one picture: of each, %d can be told apart",
			lines, dots, len(c.Rules), mostCurves)
	}
	return c.checkLimits()
}

func (c *Curves) checkLimits() error {
	for _, r := range c.Rules {
		if err := drawable(r.Name, r.Y); err != nil {
			return err
		}
	}
	if c.Marked != nil {
		return drawable(c.markedAs(), *c.Marked)
	}
	return nil
}

func (c *Curve) check() error {
	for _, p := range c.Points {
		if p.known() && max(math.Abs(p.X), math.Abs(p.Y)) > mostValue {
			return fmt.Errorf("%s has a point at %g, %g: an axis goes to %g", c.Name, p.X, p.Y, mostValue)
		}
	}
	return nil
}

// drawable refuses a number that has no place on an axis.
func drawable(name string, v float64) error {
	if !(math.Abs(v) <= mostValue) {
		return fmt.Errorf("%s is %g, which cannot be drawn: an axis goes to %g", name, v, mostValue)
	}
	return nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func (p Spot) known() bool { return finite(p.X) && finite(p.Y) }

// known are the points that can be drawn.
func (c *Curve) known() []Spot {
	var all []Spot
	for _, p := range c.Points {
		if p.known() {
			all = append(all, p)
		}
	}
	return all
}

// reaches are the least and the greatest of all along both axes; low above high where
// no point is known.
func (c *Curves) reaches() (x, y reach) {
	x, y = nowhere(), nowhere()
	for i := range c.Lines {
		for _, p := range c.Lines[i].known() {
			x, y = x.with(p.X), y.with(p.Y)
		}
	}
	if x.low > x.high {
		return x, y
	}
	for _, r := range c.Rules {
		y = y.with(r.Y)
	}
	if c.Marked != nil {
		x = x.with(*c.Marked)
	}
	return x, y
}

func (c *Curves) markedAs() string {
	if c.MarkedAs == "" {
		return "as it is"
	}
	return c.MarkedAs
}

// text is the axis in words.
func (a Axis) text() string {
	if a.Name != "" && a.Unit != "" {
		return a.Name + ", " + a.Unit
	}
	return a.Name + a.Unit
}

// said is a value on the axis in words.
func (a Axis) said(v float64) string { return strings.TrimSpace(significant(v) + " " + a.Unit) }

// description says where each curve begins and ends.
func (c *Curves) description() string {
	if c.Says != "" {
		return c.Says
	}
	parts := []string{capital(c.Y.text()) + " over " + c.X.text() + "."}
	for i := range c.Lines {
		if p := c.Lines[i].known(); len(p) > 0 {
			a, b := p[0], p[len(p)-1]
			parts = append(parts, fmt.Sprintf("%s: from %s at %s to %s at %s.", c.Lines[i].Name,
				c.Y.said(a.Y), c.X.said(a.X), c.Y.said(b.Y), c.X.said(b.X)))
		}
	}
	for _, r := range c.Rules {
		parts = append(parts, r.Name+": "+c.Y.said(r.Y)+".")
	}
	if c.Marked != nil {
		parts = append(parts, capital(c.markedAs())+": "+c.X.said(*c.Marked)+".")
	}
	return strings.Join(parts, " ")
}
