package picture

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/svgtest"
	"duskloop/sensors/quantity"
)

// ways is a night of so many ways, each a kelvin warmer than the one before.
func ways(t *testing.T, n int, units quantity.Units) *Beside {
	t.Helper()
	f := winter(t, 24)
	b := &Beside{Frame: f, Place: "Alder Hollow", Units: units, Minimum: 5, Why: "A night.", Nights: []Night{{f.From.Add(6 * time.Hour), f.From.Add(19 * time.Hour)}}}
	for i := range n {
		w := Way{
			Name: fmt.Sprintf("way %d", i+1), Gloss: "knowing the weather ahead", Tunnel: NewTrace(f, "tunnel"), House: NewTrace(f, "greenhouse"),
			Tank: NewTrace(f, "tank"), Pump: NewLane(f, "pump", ""), Below: 123.4, Used: 1234,
		}
		for at := f.From; !at.After(f.To); at = at.Add(time.Minute) {
			w.Tunnel.Add(at, swing(at, float64(i)+2, 8), 0)
			w.House.Add(at, swing(at, -10, 8), 0)
			w.Tank.Add(at, swing(at, 60, 15), 0)
			if at.Minute() < 3*i {
				w.Pump.Hold(at, at.Add(time.Minute))
			}
		}
		b.Ways = append(b.Ways, w)
	}
	return b
}

func besideBack(t *testing.T, b *Beside) *svgtest.Element {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, b.Write(&out))
	assert.Less(t, out.Len(), 300_000)
	e, err := svgtest.Parse(&out)
	require.NoError(t, err)
	return e
}

// One to eight ways: nothing sticks out, no words on others, and captions are whole.
func TestWaysBesideEachOtherFit(t *testing.T) {
	t.Parallel()
	for _, units := range []quantity.Units{quantity.SI, quantity.US} {
		for n := range 8 {
			e := besideBack(t, ways(t, n+1, units))
			view, err := e.View()
			require.NoError(t, err)
			texts := e.Texts(textWidth)
			for i, a := range texts {
				require.True(t, a.Within(view), "%q sticks out: %v", a.Words, a.Box)
				require.NotContains(t, a.Words, "…")
				for _, b := range texts[i+1:] {
					require.False(t, a.Over(b.Box), "%q is on %q", a.Words, b.Words)
				}
			}
			assert.Len(t, e.Classes("way air-panel"), n+1)
			assert.Contains(t, e.Words(), "simulated")
		}
	}
}

// Every way has the same scale, and the filled area is that between the air and the
// minimum: its lowest point is the air's.
func TestWaysHaveOneScale(t *testing.T) {
	t.Parallel()
	b := ways(t, 4, quantity.SI)
	e := besideBack(t, b)
	panels := e.Classes("way air-panel")
	require.Len(t, panels, 4)
	for i, p := range panels {
		assert.Equal(t, panels[0].Class("scale").Words(), p.Class("scale").Words())
		value := valueAt(t, p)
		lowest, highest := 100.0, -100.0
		for _, run := range path(t, p.Class("cold")) {
			for _, at := range run {
				lowest, highest = min(lowest, value(at.Y)), max(highest, value(at.Y))
			}
		}
		assert.InDelta(t, b.Ways[i].Tunnel.least.V, lowest, 0.02)
		assert.InDelta(t, 5, highest, 0.02)
	}
}

// In US units squared degree-hours are in °F²·h and the minimum in °F.
func TestWaysInTheGrowersUnits(t *testing.T) {
	t.Parallel()
	words := besideBack(t, ways(t, 2, quantity.US)).Words()
	assert.Contains(t, words, "400 °F²·h below minimum", "1.8² times 123.4")
	assert.Contains(t, words, "crop minimum 41 °F")
	assert.Contains(t, besideBack(t, ways(t, 2, quantity.SI)).Words(), "123 K²·h below minimum")
}

func TestNoWaysNoPicture(t *testing.T) {
	t.Parallel()
	b := ways(t, 1, quantity.SI)
	b.Ways[0].Tank = NewTrace(b.Frame, "tank")
	require.ErrorIs(t, b.Write(&bytes.Buffer{}), ErrNothing)
	b.Ways = nil
	require.ErrorIs(t, b.Write(&bytes.Buffer{}), ErrNothing)
}
