package picture

import (
	"bytes"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/agent/internal/svgtest"
)

// anyName is words of any length, with letters that XML must escape.
func anyName(t *rapid.T) string {
	return rapid.StringMatching(`[A-Za-z<>&"'äΩ°]{0,70}|([A-Za-z<>&"'äΩ°]{0,9} ){0,8}`).Draw(t, "name")
}

// anyCurves are up to six lines and six of dots of any size about anything, with gaps,
// limits and a mark.
func anyCurves(t *rapid.T) *Curves {
	scale := func(what string) (mean, size float64) {
		size = math.Pow(10, rapid.Float64Range(-2, 5).Draw(t, what))
		return rapid.Float64Range(-4, 4).Draw(t, what+" mean") * size, size
	}
	mx, sx := scale("x")
	my, sy := scale("y")
	spot := func(x, y float64) Spot { return Spot{mx + sx*x, my + sy*y} }
	c := &Curves{Title: anyName(t), Under: anyName(t), X: Axis{anyName(t), "L"}, Y: Axis{anyName(t), "K²·h"}, MarkedAs: anyName(t)}
	lines, dots := rapid.IntRange(0, 6).Draw(t, "lines"), rapid.IntRange(0, 6).Draw(t, "dots")
	for i := range lines + dots {
		k := Curve{Name: anyName(t), Dots: i >= lines}
		n := rapid.SampledFrom([]int{0, 1, 2, 40}).Draw(t, "points")
		for j := range n {
			p := spot(float64(j)/40, rapid.Float64Range(-1, 1).Draw(t, "y"))
			if rapid.IntRange(0, 9).Draw(t, "gap") == 0 {
				p.Y = rapid.SampledFrom([]float64{math.NaN(), math.Inf(1)}).Draw(t, "unknown")
			}
			k.Points = append(k.Points, p)
		}
		c.Lines = append(c.Lines, k)
	}
	for range rapid.IntRange(0, 6).Draw(t, "rules") {
		c.Rules = append(c.Rules, Rule{anyName(t), spot(0, rapid.Float64Range(-2, 2).Draw(t, "rule")).Y})
	}
	if rapid.Bool().Draw(t, "marked") {
		x := spot(rapid.Float64Range(-0.5, 1.5).Draw(t, "mark"), 0).X
		c.Marked = &x
	}
	return c
}

// Whatever is drawn: nothing sticks out and no words stand on others; and every point,
// limit and mark, read back through the numbers at the edges, is one that was given.
func TestCurvesAreThoseGiven(t *testing.T) {
	t.Parallel()
	drawn := 0
	rapid.Check(t, func(t *rapid.T) {
		c := anyCurves(t)
		if x, _ := c.reaches(); x.low > x.high {
			require.ErrorIs(t, c.Write(&bytes.Buffer{}), ErrNothing)
			return
		}
		drawn++
		e := readBack(t, c)
		tidy(t, e)
		r := reader{numberAt(t, e), valueAt(t, e.Class("plot"))}
		r.checkLimits(t, c, e)
		var lines, dots int
		for i := range c.Lines {
			if k := &c.Lines[i]; k.Dots {
				r.checkCurve(t, k, marksOf(t, e, dots), 0.55)
				dots++
			} else {
				r.checkCurve(t, k, strokesOf(t, e, lines), 0.3)
				lines++
			}
		}
	})
	assert.Greater(t, drawn, 20)
}

// reader reads places back as numbers.
type reader struct{ x, y func(float64) float64 }

// near says whether two points are so many units of the picture apart at most.
func (r reader) near(a, b Spot, units float64) bool {
	perX, perY := math.Abs(r.x(1)-r.x(0)), math.Abs(r.y(1)-r.y(0))
	return math.Abs(a.X-b.X) <= units*perX && math.Abs(a.Y-b.Y) <= units*perY
}

// checkCurve compares the places of one curve with what was given: every place that is
// drawn was given, and every point that was given is drawn, or has a neighbour that is,
// by what thinning may take.
func (r reader) checkCurve(t *rapid.T, c *Curve, places []svgtest.Point, thinned float64) {
	t.Helper()
	var seen []Spot
	for _, p := range places {
		seen = append(seen, Spot{r.x(p.X), r.y(p.Y)})
	}
	for _, s := range seen {
		require.True(t, r.among(s, c.known(), 0.02), "%v is drawn, but was not given", s)
	}
	for _, s := range c.known() {
		require.True(t, r.among(s, seen, thinned), "%v was given, but is not drawn", s)
	}
}

func (r reader) among(s Spot, all []Spot, units float64) bool {
	for _, x := range all {
		if r.near(s, x, units) {
			return true
		}
	}
	return false
}

func (r reader) checkLimits(t *rapid.T, c *Curves, e *svgtest.Element) {
	t.Helper()
	rules := e.Classes("rule")
	require.Len(t, rules, len(c.Rules))
	perX, perY := math.Abs(r.x(1)-r.x(0)), math.Abs(r.y(1)-r.y(0))
	for i, x := range rules {
		require.InDelta(t, c.Rules[i].Y, r.y(path(t, x)[0][0].Y), 0.02*perY)
	}
	if m := e.Class("marked"); c.Marked != nil {
		require.InDelta(t, *c.Marked, r.x(path(t, m)[0][0].X), 0.02*perX)
	} else {
		require.Nil(t, m)
	}
}

// strokesOf are the places of a line, by the number of its hand.
func strokesOf(t failer, e *svgtest.Element, n int) []svgtest.Point {
	t.Helper()
	var all []svgtest.Point
	for _, x := range append(e.Classes("curve"), e.Classes("curve dots")...) {
		if x.Attr["stroke"] == curveHands[n].colour {
			for _, run := range path(t, x) {
				all = append(all, run...)
			}
		}
	}
	return all
}

// marksOf are the middles of a curve's marks, by the number of its hand: the mean of a
// shape's corners. A cross or a plus has two strokes about one middle.
func marksOf(t failer, e *svgtest.Element, n int) []svgtest.Point {
	t.Helper()
	var all []svgtest.Point
	for _, x := range e.Classes("dots") {
		if x.Attr["stroke"] == curveHands[n].colour {
			for _, shape := range path(t, x) {
				all = append(all, middle(shape))
			}
		}
	}
	return all
}

func middle(shape []svgtest.Point) svgtest.Point {
	var m svgtest.Point
	for _, p := range shape {
		m.X += p.X / float64(len(shape))
		m.Y += p.Y / float64(len(shape))
	}
	return m
}
