package main

import (
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// All runs stand in one picture, dots where they were read and the curve near them, in the
// grower's units.
func TestTrialIsDrawn(t *testing.T) {
	t.Parallel()
	const heat = 4 * 0.9982 * 4179 // as in runFile
	var all []judged
	for _, path := range []string{runFile(t, "long", 90, 0.9, 1), sunFile(t, "volts", "panel_v", 16, false, 2)} {
		j, err := judge(path, heat)
		require.NoError(t, err)
		all = append(all, j)
	}
	atOneVoltage(all)
	for _, u := range []quantity.Units{quantity.SI, quantity.US} {
		c := trialCurves(all, u)
		require.Len(t, c.Lines, 4)
		perK, zero, unit := 1.0, 0.0, "°C"
		if u == quantity.US {
			perK, zero, unit = 1.8, 32, "°F"
		}
		assert.Equal(t, unit, c.Y.Unit)
		assert.Equal(t, "min", c.X.Unit)
		for i := 0; i < 4; i += 2 {
			dots, line := c.Lines[i], c.Lines[i+1]
			require.True(t, dots.Dots)
			require.False(t, line.Dots)
			require.Len(t, line.Points, 360)
			require.Len(t, dots.Points, mostMarks)
			for m, p := range dots.Points {
				k := 15 * m
				assert.InDelta(t, float64(k)/2, p.X, 1e-9, "of readings every half minute each fifteenth")
				assert.InDelta(t, p.X, line.Points[k].X, 1e-12)
				assert.InDelta(t, all[i/2].run.Readings[k].Liquid*perK+zero, p.Y, 1e-9)
				assert.InDelta(t, p.Y, line.Points[k].Y, 0.3*perK, "the curve is by the readings")
			}
		}
	}
	all[0].run.Readings[len(all[0].run.Readings)-1].At = 4 * 3600
	assert.Equal(t, "h", trialCurves(all, quantity.SI).X.Unit)
}

// The file is written beside the text, whole, and not for more runs than can be told apart.
func TestTrialWritesItsPicture(t *testing.T) {
	t.Parallel()
	long, coiled := runFile(t, "long", 90, 0.9, 1), runFile(t, "coiled", 96, 0.9, 2)
	path := filepath.Join(t.TempDir(), "runs.svg")
	out, _, err := apart(t, "trial", long, coiled, "--volume", "4 L", "--svg", path)
	require.NoError(t, err)
	assert.Contains(t, out, "coiled heats faster")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	for _, name := range []string{"long", "coiled, fitted", "96", "time since the start, min"} {
		assert.Contains(t, string(text), name)
	}
	x := xml.NewDecoder(strings.NewReader(string(text)))
	for err == nil {
		_, err = x.Token()
	}
	require.True(t, errors.Is(err, io.EOF), "%v", err)
	many := []string{"trial", "--volume", "4 L", "--svg", path}
	for range mostDrawn + 1 {
		many = append(many, long)
	}
	code, _, err := run(t, many...)
	assert.Equal(t, exitUsage, code)
	assert.ErrorContains(t, err, "7 runs, 6 can be told apart")
}
