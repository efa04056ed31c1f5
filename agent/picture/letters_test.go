package picture

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Widths in ems as Chromium 156 measured them (canvas measureText, kerning and all)
// in DejaVu Sans 2.37 and Liberation Sans 2.1: no estimate is narrower than either by
// more than a hundredth.
func TestTextWidthAgainstABrowser(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		text             string
		bold             bool
		dejaVu, narrower float64
	}{
		{"carrying, 2 h 19 min: the tank is warmer than the tunnel by more than the start difference", false, 45.25, 39.06},
		{"Tunnel, greenhouse, outdoors and bed, °F", true, 23.72, 19.99},
		{"Alder Hollow, loop bench", true, 14.03, 11.96},
		{"MMMM WWWW", true, 8.74, 7.39},
		{"illicit, lily", false, 4.39, 3.61},
		{"simulated", true, 5.58, 4.67},
		{"reserve 61 % to 76 %", false, 10.8, 9.56},
	} {
		got := textWidth(row.text, 1, row.bold)
		assert.GreaterOrEqual(t, got, 0.99*max(row.dejaVu, row.narrower), row.text)
		assert.Less(t, got, 1.15*row.dejaVu, row.text)
	}
}

func TestWrap(t *testing.T) {
	t.Parallel()
	const text = "the tank is warmer than the tunnel by more than the start difference"
	lines := wrap(text, small, 200, 50)
	assert.Greater(t, len(lines), 2)
	assert.Equal(t, text, strings.Join(lines, " "), "no word is lost")
	assert.LessOrEqual(t, textWidth(lines[0], small, false), 150.0)
	for _, l := range lines[1:] {
		assert.LessOrEqual(t, textWidth(l, small, false), 200.0)
	}
	cut := wrap(strings.Repeat("w", 100), small, 200, 0)
	require.Len(t, cut, 1)
	assert.True(t, strings.HasSuffix(cut[0], "…"))
}

// A no-break space keeps a number with its unit.
func TestNoBreakSpaceKeepsWordsTogether(t *testing.T) {
	t.Parallel()
	assert.Equal(t, []string{"the one of", "4\u00a0Ω"}, wrap("the one of 4\u00a0Ω", small, textWidth("the one of 4", small, false), 0))
	assert.Equal(t, []string{"the one of 4", "Ω"}, wrap("the one of 4 Ω", small, textWidth("the one of 4", small, false), 0))
}

// Where the end of one day and the beginning of the next cannot both be named, the
// next is.
func TestTheDayThatBeginsIsNamed(t *testing.T) {
	t.Parallel()
	from := time.Date(2026, 8, 15, 22, 45, 0, 0, time.UTC)
	f, err := NewFrame(from, from.Add(8*time.Hour))
	require.NoError(t, err)
	tr := NewTrace(f, "tunnel")
	tr.Add(from, 10, 0)
	words := drawnBack(t, &Sheet{Frame: f, Loop: "bench", Air: []*Trace{tr}}).Class("axis").Words()
	assert.Contains(t, words, "Aug 16")
	assert.NotContains(t, words, "Aug 15")
}
