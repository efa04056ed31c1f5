package agent

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/internal/svgtest"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// expecting is a picture of a night at ten in the evening: by the plan the tunnel stays at
// 6 °C and the pump runs, without heat it falls to 1 °C by seven.
func expecting(t *testing.T, b control.Barred) (*svgtest.Element, string) {
	t.Helper()
	f := config.Demo()
	f.Site.Units = quantity.SI
	noon := time.Date(2026, 1, 15, 12, 0, 0, 0, SunZone(f))
	p, err := NewPictured(f, noon, noon.AddDate(0, 0, 1), 10*time.Minute)
	require.NoError(t, err)
	p.sheet.Half = true
	now := noon.Add(10 * time.Hour)
	for at := noon; !at.After(now); at = at.Add(10 * time.Minute) {
		x := record.Reading{At: at, Loop: "bench"}
		x.Places[control.Tunnel], x.Places[control.Tank] = record.Known(6, 0), record.Known(50, 0)
		p.Add(&x)
	}
	var course []night.Expected
	for i := range 9 * 6 {
		at := now.Add(time.Duration(i+1) * 10 * time.Minute)
		bare := 6 - 5*float64(i+1)/54
		course = append(course, night.Expected{At: at, Tank: 40, Air: 6, Low: 5, High: 7, House: 0, Charge: 0.6, Duty: 0.5,
			Unheated: night.Bare{Tank: 50, Air: bare, Low: bare - 1, High: bare + 1, Charge: 0.7}})
	}
	p.Expect(now, &control.Facts{Barred: b, Tonight: night.Advice{Way: night.Planned, Course: &course, Story: night.Story{UnheatedAt: now.Add(9 * time.Hour)}}})
	var out bytes.Buffer
	require.NoError(t, p.Write(&out))
	e, err := svgtest.Parse(&out)
	require.NoError(t, err)
	return e, squeezed(e.Words())
}

// squeezed leaves out the spaces, some of which are ends of lines.
func squeezed(text string) string { return strings.Join(strings.Fields(text), "") }

// falls is by how much of the picture's height the expected tunnel air falls from its first
// point to its last.
func falls(t *testing.T, e *svgtest.Element) float64 {
	t.Helper()
	runs, err := svgtest.Path(e.Class("tunnel expected").Attr["d"])
	require.NoError(t, err)
	last := runs[len(runs)-1]
	return last[len(last)-1].Y - runs[0][0].Y
}

// While no heat can come the course without it is drawn, and says so; an order that ends
// before the coldest hour is followed by the plan's course.
func TestPictureExpectsWhatCanBeDone(t *testing.T) {
	t.Parallel()
	e, words := expecting(t, control.Barred{})
	assert.Contains(t, words, squeezed("expected by the plan"))
	assert.InDelta(t, 0, falls(t, e), 0.5)
	assert.Contains(t, words, squeezed("pump, expected, 4 h 30 min"))

	e, words = expecting(t, control.Barred{By: control.BarredByHold, Left: 12 * time.Hour})
	assert.Contains(t, words, squeezed("expected WITHOUT heat (held off by hand until 10:00 am)"))
	assert.Greater(t, falls(t, e), 10.)
	assert.NotContains(t, words, squeezed("pump, expected"))

	e, words = expecting(t, control.Barred{By: control.BarredByHold, Left: time.Hour})
	assert.Contains(t, words, squeezed("without heat at first (held off by hand until 11:00 pm), then by the plan"))
	assert.Less(t, falls(t, e), 1.)
	assert.Contains(t, words, squeezed("pump, expected, 4 h"))

	_, words = expecting(t, control.Barred{By: control.BarredByStop, Why: control.LevelIsLow})
	assert.Contains(t, words, squeezed("expected WITHOUT heat (the tank's level switch says low)"))
}
