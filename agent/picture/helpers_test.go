package picture

import (
	"bytes"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/svgtest"
)

// failer is what both a test and a property are.
type failer interface {
	require.TestingT
	Helper()
}

// drawnBack writes a sheet and reads it.
func drawnBack(t failer, s *Sheet) *svgtest.Element {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, s.Write(&b))
	e, err := svgtest.Parse(&b)
	require.NoError(t, err)
	return e
}

func path(t failer, e *svgtest.Element) [][]svgtest.Point {
	t.Helper()
	require.NotNil(t, e)
	p, err := svgtest.Path(e.Attr["d"])
	require.NoError(t, err)
	return p
}

// valueAt reads the scale of a panel off its numbers and the lines they stand at.
func valueAt(t failer, panel *svgtest.Element) func(y float64) float64 {
	t.Helper()
	lines := path(t, panel.Class("values"))
	var v []float64
	for _, k := range panel.Class("scale").Kids {
		v = append(v, number(t, k.Text))
	}
	require.Len(t, lines, len(v))
	n := len(v) - 1
	y0, y1 := lines[0][0].Y, lines[n][0].Y
	return func(y float64) float64 { return v[0] + (y-y0)/(y1-y0)*(v[n]-v[0]) }
}

// timeAt reads the time axis off its labels: hours, with the day below the first.
func timeAt(t failer, e *svgtest.Element, year int, zone *time.Location) func(x float64) time.Time {
	t.Helper()
	axis := e.Class("axis")
	days := make(map[float64]time.Time)
	var hours []*svgtest.Element
	for _, k := range axis.Kids {
		if d, err := time.ParseInLocation("Jan 2 2006", k.Text+" "+itoa(year), zone); err == nil {
			days[number(t, k.Attr["x"])] = d
		} else if strings.Contains(k.Text, ":") {
			hours = append(hours, k)
		}
	}
	mark := func(k *svgtest.Element) (float64, time.Time) {
		at, err := time.Parse("15:04", k.Text)
		require.NoError(t, err)
		x := number(t, k.Attr["x"])
		var day time.Time
		for dx, d := range days {
			if dx <= x && d.After(day) {
				day = d
			}
		}
		return x, day.Add(time.Duration(at.Hour())*time.Hour + time.Duration(at.Minute())*time.Minute)
	}
	require.Greater(t, len(hours), 1)
	x1, t1 := mark(hours[len(hours)-1])
	x0, t0 := mark(hours[len(hours)-2])
	return func(x float64) time.Time {
		return t1.Add(time.Duration((x - x1) / (x1 - x0) * float64(t1.Sub(t0))))
	}
}

// numberAt reads a plain x axis off its numbers and where they stand.
func numberAt(t failer, e *svgtest.Element) func(x float64) float64 {
	t.Helper()
	kids := e.Class("axis").Kids
	require.Greater(t, len(kids), 1, "two numbers make a scale")
	a, b := kids[0], kids[len(kids)-1]
	va, vb, xa, xb := number(t, a.Text), number(t, b.Text), number(t, a.Attr["x"]), number(t, b.Attr["x"])
	return func(x float64) float64 { return va + (x-xa)/(xb-xa)*(vb-va) }
}

// tidy finds what sticks out of a picture, stands on other words, or is too small to
// read on a telephone, and returns the words.
func tidy(t failer, e *svgtest.Element) []svgtest.Text {
	t.Helper()
	view, err := e.View()
	require.NoError(t, err)
	require.Contains(t, []float64{width, narrow}, view.Right)
	texts := e.Texts(textWidth)
	for i, a := range texts {
		require.True(t, a.Within(view), "%q sticks out: %v", a.Words, a.Box)
		require.GreaterOrEqual(t, a.Size, 9.0)
		if view.Right == narrow {
			require.GreaterOrEqual(t, a.Size*360/narrow, 11.0, "CSS pixels on a telephone 360 of them wide")
		}
		for _, b := range texts[i+1:] {
			require.False(t, a.Over(b.Box), "%q is on %q", a.Words, b.Words)
		}
	}
	checkPaths(t, e, view)
	return texts
}

// readBack writes a picture and reads it.
func readBack(t failer, p Picture) *svgtest.Element {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, p.Write(&b))
	e, err := svgtest.Parse(&b)
	require.NoError(t, err)
	return e
}

func number(t failer, s string) float64 {
	t.Helper()
	var b svgtest.Element
	b.Attr = map[string]string{"viewBox": "0 0 1 " + s}
	v, err := b.View()
	require.NoError(t, err, s)
	return v.Bottom
}

func itoa(n int) string { return trimmed(float64(n), 0) }

// winter is a frame of so many hours from an invented dusk.
func winter(t failer, hours float64) Frame {
	t.Helper()
	from := time.Date(2026, 1, 15, 17, 1, 0, 0, time.FixedZone("UTC-5", -5*3600))
	f, err := NewFrame(from, from.Add(time.Duration(hours*float64(time.Hour))))
	require.NoError(t, err)
	return f
}

// swing is a smooth invented day: warmest at three in the afternoon.
func swing(at time.Time, mean, half float64) float64 {
	hour := at.Sub(at.Truncate(24*time.Hour)).Hours() - 5
	return mean + half*math.Cos((hour-15)/24*2*math.Pi)
}

var _ failer = (*testing.T)(nil)
