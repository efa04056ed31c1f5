package season_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/season"
)

// With the future known at least so much of the squared degree-hours goes: of the study's
// own relaxed optimum 42.7, 35.4 and 8.4 %, pulsed and held back by the minimum run.
func TestForesightRemovesWhatTheStudyFound(t *testing.T) {
	t.Parallel()
	sky, span, isReal := realOrInvented(t)
	steps := 600
	if raced {
		t.Log("raced: four of the days, a tenth of the steps")
		span.Days, steps = 4, steps/10
	}
	for _, row := range []struct {
		size  string
		least float64
	}{{"LARGE", 0.41}, {"BOX", 0.315}, {"SMALL", 0.075}} {
		h := study(row.size)
		off, _, err := season.Fly(h, span, sky, season.Off{})
		require.NoError(t, err)
		start, duties, err := season.Fly(h, span, sky, &season.Thermostat{On: 3, Band: 1, Over: 3, MinRun: 3 * time.Minute})
		require.NoError(t, err)
		began := time.Now()
		f, err := season.Foresee(h, span, sky, duties, start, steps)
		require.NoError(t, err)
		share := 1 - f.Score.Squared/off.Squared
		t.Logf("%s: off %.0f, foresight %.0f K²h (lumped %.0f, relaxed %.0f): removes %.1f %%; %.1f kWh, %.1f starts a day; %v",
			row.size, off.Squared, f.Score.Squared, f.Lumped, f.Relaxed, 100*share, f.Score.Battery, f.Score.Starts, time.Since(began))
		assert.Less(t, f.Score.Squared, start.Squared)
		if isReal {
			assert.GreaterOrEqual(t, share, row.least)
		}
	}
}
