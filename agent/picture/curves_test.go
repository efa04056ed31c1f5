package picture

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A line has no stroke over a point that is not known.
func TestCurvesKeepTheirGaps(t *testing.T) {
	t.Parallel()
	c := &Curves{Title: "gaps", Lines: []Curve{{Name: "a", Points: []Spot{{0, 1}, {1, 2}, {2, math.NaN()}, {3, 2}, {4, math.Inf(-1)}, {5, 1}, {6, 2}}}}}
	e := readBack(t, c)
	require.Len(t, path(t, e.Class("curve")), 2)
	require.Len(t, path(t, e.Class("curve dots")), 1, "alone between two gaps")
	assert.Contains(t, e.Words(), "Gaps: not known there.")
}

// Six lines and six curves of dots are told apart without colour: no two have both
// width and dashes alike, no two marks the same shape.
func TestCurvesAreToldApartInGrey(t *testing.T) {
	t.Parallel()
	lines, shapes := make(map[[2]string]bool), make(map[string]bool)
	for i := range mostCurves {
		lines[[2]string{curveHands[i].width, curveHands[i].dash}] = true
		var d pen
		markers[i].put(&d, 0, 0)
		shapes[d.String()] = true
	}
	assert.Len(t, lines, mostCurves)
	assert.Len(t, shapes, mostCurves)
	assert.NotContains(t, lines, [2]string{limitHand.width, limitHand.dash})
}

func straight(n int) []Spot {
	var all []Spot
	for i := range n {
		all = append(all, Spot{float64(i), float64(i)})
	}
	return all
}

func TestCurvesNameEverything(t *testing.T) {
	t.Parallel()
	at := 3.0
	c := &Curves{
		Title: `<b> & "so on"`, Under: "one winter", X: Axis{"volume", "L"}, Y: Axis{"tank", "°C"}, Marked: &at, Rules: []Rule{{"boiling", 104.3}},
		Lines: []Curve{{Name: "fitted <1>", Points: straight(9)}, {Name: "measured", Points: straight(9), Dots: true}, {Name: "lost", Points: []Spot{{math.NaN(), 1}}}},
	}
	words := readBack(t, c).Words()
	for _, w := range []string{c.Title, "one winter", "volume, L", "Tank, °C", "as it is: 3 L", "boiling: 104.3 °C", "fitted <1>", "measured", "Nothing is known of lost."} {
		assert.Contains(t, words, w)
	}
	desc := readBack(t, c).Kids[1]
	assert.Equal(t, "Tank, °C over volume, L. fitted <1>: from 0 °C at 0 L to 8 °C at 8 L. measured: from 0 °C at 0 L to 8 °C at 8 L. boiling: 104.3 °C. As it is: 3 L.", desc.Text)
	c.Says = "It rises."
	assert.Equal(t, "It rises.", readBack(t, c).Kids[1].Text)
}

func TestCurvesRefuse(t *testing.T) {
	t.Parallel()
	nan, far := math.NaN(), 2e6
	for want, c := range map[string]*Curves{
		"a is NaN":                         {Lines: []Curve{{Points: straight(2)}}, Rules: []Rule{{"a", nan}}},
		"a is +Inf":                        {Lines: []Curve{{Points: straight(2)}}, Rules: []Rule{{"a", math.Inf(1)}}},
		"as it is is 2e+06":                {Lines: []Curve{{Points: straight(2)}}, Marked: &far},
		"b has a point at 0, 2e+06":        {Lines: []Curve{{Name: "b", Points: []Spot{{0, far}}}}},
		"7 lines, 0 curves of dots":        {Lines: make([]Curve, 7)},
		"0 lines, 0 curves of dots and 8 ": {Rules: make([]Rule, 8)},
	} {
		require.ErrorContains(t, c.Write(&bytes.Buffer{}), want)
	}
	for _, c := range []*Curves{{}, {Lines: make([]Curve, 2)}, {Rules: []Rule{{"a", 1}}}, {Lines: []Curve{{Points: []Spot{{nan, 1}, {1, nan}}}}}} {
		require.ErrorIs(t, c.Write(&bytes.Buffer{}), ErrNothing)
	}
}

// Many points stay a small file: what lies on one place is drawn once.
func TestManyPointsStaySmall(t *testing.T) {
	t.Parallel()
	c := &Curves{Title: "a day by seconds"}
	for range mostCurves {
		line := Curve{Name: "run", Points: straight(86_400)}
		c.Lines = append(c.Lines, line, Curve{Name: line.Name, Points: line.Points, Dots: true})
	}
	var b bytes.Buffer
	require.NoError(t, c.Write(&b))
	assert.Less(t, b.Len(), 500_000)
	assert.Greater(t, strings.Count(b.String(), "Z"), 300)
}

// A name that is too long for its column stands there in two lines; where there are too
// many for that, in one that is cut, and the key has it whole.
func TestCurvesNamesInTwoLines(t *testing.T) {
	t.Parallel()
	const name = "two panels and insulation"
	c := &Curves{Title: "names", Lines: []Curve{{Name: name, Points: straight(9)}}}
	words := texts(readBack(t, c).Class("plot"))
	assert.Contains(t, words, "two panels and")
	assert.Contains(t, words, "insulation")
	c.Lines[0].Name += " three times as thick"
	words = texts(readBack(t, c).Class("plot"))
	assert.Contains(t, words, "insulation three ti…")
	assert.NotContains(t, words, "as thick")
	c.Lines[0].Name = name
	for i := range mostCurves {
		c.Rules = append(c.Rules, Rule{name, float64(i)})
	}
	c.Lines = append(c.Lines, c.Lines[0], c.Lines[0])
	e := readBack(t, c)
	tidy(t, e)
	assert.NotContains(t, texts(e.Class("plot")), "insulation")
	assert.Contains(t, texts(e), name)
	assert.Contains(t, texts(e), name+": 5")
}
