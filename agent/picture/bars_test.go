package picture

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/agent/internal/svgtest"
)

// anyBars are up to a dozen numbers of any size and sign, with notes and ranges.
func anyBars(t *rapid.T) *Bars {
	size := math.Pow(10, rapid.Float64Range(-2, 5.9).Draw(t, "size"))
	low := rapid.SampledFrom([]float64{-1, 0, 0.5}).Draw(t, "low")
	b := &Bars{Title: anyName(t), Under: anyName(t), Unit: anyName(t)}
	for range rapid.IntRange(1, 12).Draw(t, "rows") {
		x := Bar{Name: anyName(t) + anyName(t), Note: anyName(t), Value: size * rapid.Float64Range(low, 1).Draw(t, "value")}
		if rapid.Bool().Draw(t, "range") {
			x.Range = &Range{x.Value - size*rapid.Float64Range(0, 0.2).Draw(t, "below"), x.Value + size*rapid.Float64Range(0, 0.2).Draw(t, "above")}
		}
		b.Rows = append(b.Rows, x)
	}
	if i := rapid.IntRange(-1, len(b.Rows)-1).Draw(t, "marked"); i >= 0 {
		b.Rows[i].Marked = true
	}
	return b
}

// Whatever is drawn: nothing sticks out and no words stand on others; every bar goes from
// the zero of the scale to its value, and every range is the one that was given.
func TestBarsAreThoseGiven(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := anyBars(t)
		e := readBack(t, b)
		tidy(t, e)
		x := numberAt(t, e)
		unit := 0.02 * math.Abs(x(1)-x(0))
		rows := e.Classes("row")
		require.Len(t, rows, len(b.Rows))
		for i, r := range rows {
			checkBar(t, &b.Rows[i], r, x, unit)
		}
	})
}

func checkBar(t *rapid.T, b *Bar, row *svgtest.Element, x func(float64) float64, unit float64) {
	t.Helper()
	box := path(t, row.Class("bar"))[0]
	from, to := x(box[0].X), x(box[1].X)
	require.InDelta(t, min(b.Value, 0), from, unit)
	require.InDelta(t, max(b.Value, 0), to, unit)
	require.InDelta(t, 0, x(path(t, row.Class("zero"))[0][0].X), unit)
	require.Equal(t, b.Value < 0, row.Class("bar").Attr["fill"] == paper, "below zero is told in grey too")
	checkWordsBeside(t, row)
	if b.Range == nil {
		require.Nil(t, row.Class("range"))
		return
	}
	line := path(t, row.Class("range"))[2]
	require.InDelta(t, b.Range.Low, x(line[0].X), unit)
	require.InDelta(t, b.Range.High, x(line[1].X), unit)
}

// checkWordsBeside looks that name, note and number stand beside all that is drawn.
func checkWordsBeside(t *rapid.T, row *svgtest.Element) {
	t.Helper()
	low, high := width, 0.0
	row.Walk(func(x *svgtest.Element) {
		if x.Name == "path" {
			for _, run := range path(t, x) {
				for _, p := range run {
					low, high = min(low, p.X), max(high, p.X)
				}
			}
		}
	})
	for _, w := range row.Texts(textWidth) {
		require.True(t, w.Right <= low || w.Left >= high, "%q is on a bar", w.Words)
	}
}

// The number at the right is the value, to three figures of the largest.
func TestBarsTellTheirNumbers(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		values []float64
		want   []string
	}{
		{[]float64{1834.4, 540, -35, 0}, []string{"1834", "540", "-35", "0"}},
		{[]float64{186.24, 64.04}, []string{"186", "64"}},
		{[]float64{2.5, 1, -0.001}, []string{"2.50", "1.00", "0.00"}},
		{[]float64{0.0456, -0.01}, []string{"0.0456", "-0.0100"}},
		{[]float64{0, 0}, []string{"0", "0"}},
	} {
		b := &Bars{Title: "numbers"}
		for _, v := range row.values {
			b.Rows = append(b.Rows, Bar{Name: "a", Value: v})
		}
		for i, r := range readBack(t, b).Classes("row") {
			assert.Contains(t, texts(r), row.want[i])
		}
	}
}

// texts are the words of each text below an element.
func texts(e *svgtest.Element) []string {
	var all []string
	e.Walk(func(x *svgtest.Element) {
		if x.Name == "text" {
			all = append(all, x.Words())
		}
	})
	return all
}

// A long name is told whole, in as many lines as it needs.
func TestBarsWrapTheirNames(t *testing.T) {
	t.Parallel()
	const name = "a second panel in series with the first, both tilted to the sun of midwinter"
	b := &Bars{Title: "what helps", Rows: []Bar{{Name: name, Note: "about an afternoon's work for two", Value: 12, Marked: true}}}
	words := strings.Join(texts(readBack(t, b).Class("row")), " ")
	assert.Contains(t, words, name)
	assert.Contains(t, words, b.Rows[0].Note)
	assert.NotContains(t, words, "…")
}

// The row that is as it is stands out by weight and ground, and where it is not zero a
// line goes from it through all rows.
func TestBarsAsItIs(t *testing.T) {
	t.Parallel()
	b := &Bars{Title: "elements", Unit: "W", Rows: []Bar{{Name: "2.9 Ω", Value: 186}, {Name: "4 Ω", Value: 151, Marked: true}, {Name: "1.44 Ω", Value: 64}}}
	e := readBack(t, b)
	x := numberAt(t, e)
	lines := e.Classes("as-it-is")
	require.Len(t, lines, 3)
	for _, l := range lines {
		assert.InDelta(t, 151, x(path(t, l)[0][0].X), 0.1)
	}
	assert.Contains(t, texts(e), "as it is", "in the key")
	assert.Equal(t, "2.9 Ω: 186 W. 4 Ω (as it is): 151 W. 1.44 Ω: 64 W.", e.Kids[1].Text)
	b.Rows[1].Value = 0
	e = readBack(t, b)
	assert.Empty(t, e.Classes("as-it-is"), "on the zero it would only thicken it")
	assert.Contains(t, texts(e), "as it is")
	b.Rows[1].Marked = false
	assert.NotContains(t, texts(readBack(t, b)), "as it is")
}

func TestBarsRefuse(t *testing.T) {
	t.Parallel()
	require.ErrorIs(t, (&Bars{Title: "none"}).Write(&bytes.Buffer{}), ErrNothing)
	for want, rows := range map[string][]Bar{
		"a is NaN":                       {{Name: "a", Value: math.NaN()}},
		"a is -Inf":                      {{Name: "a", Value: math.Inf(-1)}},
		"a is 2e+06":                     {{Name: "a", Value: 2e6}},
		"b is +Inf":                      {{Name: "a"}, {Name: "b", Range: &Range{0, math.Inf(1)}}},
		"b is NaN":                       {{Name: "b", Range: &Range{math.NaN(), 1}}},
		"b lies from 2 to 1, backwards":  {{Name: "b", Range: &Range{2, 1}}},
		"2 rows are marked as it is: on": {{Marked: true}, {Marked: true}},
	} {
		require.ErrorContains(t, (&Bars{Rows: rows}).Write(&bytes.Buffer{}), want)
	}
}
