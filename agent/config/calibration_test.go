package config

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/control"
	"duskloop/sensors/quantity"
)

// By hand: half a degree high in ice and half a degree low at 50 °C cross in the middle.
func TestCorrection(t *testing.T) {
	t.Parallel()
	rows := []struct{ text, said, want string }{
		{"", "41.3125 °C", "41.3125 °C"},
		{"2026-10-03: 0.5 °C at 0 °C", "20 °C", "19.5 °C"},
		{"2026-10-03: 0.5 °C at 0 °C, 49.5 °C at 50 °C", "0.5 °C", "0 °C"},
		{"2026-10-03: 0.5 °C at 0 °C, 49.5 °C at 50 °C", "25 °C", "25 °C"},
		{"2026-10-03: 0.5 °C at 0 °C, 49.5 °C at 50 °C", "49.5 °C", "50 °C"},
		{"2026-10-03: 0.5 °C at 0 °C, 49.5 °C at 50 °C", "84 °C", "84.5 °C"}, // no further slope
		{"2026-10-03: 0.5 °C at 0 °C, 49.5 °C at 50 °C", "-20 °C", "-20.5 °C"},
		{"2026-10-03: 33 °F at 32 °F", "50 °F", "49 °F"},
	}
	for _, row := range rows {
		var c Calibration
		require.NoError(t, c.Set(row.text), row.text)
		var said, want quantity.Celsius
		require.NoError(t, said.Set(row.said))
		require.NoError(t, want.Set(row.want))
		assert.InDelta(t, float64(want), float64(c.Correct(said)), 1e-9, "%s: %s", row.text, row.said)
	}
}

func TestFaultyCalibrations(t *testing.T) {
	t.Parallel()
	for text, problem := range map[string]string{
		"0.4 °C at 0 °C":                                       "write the day first",
		"2026-02-30: 0.4 °C at 0 °C":                           "write the day first",
		"1987-02-03: 0.4 °C at 0 °C":                           "was calibrated in 1987",
		"2026-10-03":                                           "write the day first",
		"2026-10-03: ":                                         "what the probe said and what was true",
		"2026-10-03: 0.4 °C":                                   "what the probe said and what was true",
		"2026-10-03: 0.4 °C at cold":                           "cold",
		"2026-10-03: 3.2 °C at 0 °C":                           "more than 3 K",
		"2026-10-03: 0.1 °C at 0 °C, 100 °C at 100 °C":         "never calibrate in boiling water",
		"2026-10-03: 0.1 °C at 0 °C, 15 °C at 15 °C":           "at least 20 K warmer",
		"2026-10-03: 50 °C at 50 °C, 0.1 °C at 0 °C":           "at least 20 K warmer",
		"2026-10-03: 0 °C at 0 °C, 1 °C at 1 °C, 2 °C at 2 °C": "one bath or two",
	} {
		var c Calibration
		require.ErrorContains(t, c.Set(text), problem, text)
		assert.False(t, c.Given())
	}
}

// Whatever calibration is accepted: never more than 3 K off, never out of order, turned
// round exactly, and written so that it reads back.
func TestAnyCalibration(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		tenth := func(low, high int, name string) quantity.Celsius {
			return quantity.Celsius(rapid.IntRange(low*10, high*10).Draw(t, name)) / 10
		}
		cold := tenth(-20, 40, "cold")
		c := Calibration{Date: day(2026), Points: []CalibrationPoint{{cold + tenth(-29, 29, "off")/10, cold}}}
		if rapid.Bool().Draw(t, "two") {
			warm := tenth(int(cold)+21, 70, "warm")
			c.Points = append(c.Points, CalibrationPoint{warm + tenth(-29, 29, "off there")/10, warm})
		}
		for i := range c.Points { // exactly 3 K may round to a little more
			c.Points[i].Said = c.Points[i].True.Plus(min(max(c.Points[i].off(), -mostOff), mostOff))
		}
		x, y := tenth(-55, 125, "x"), tenth(-55, 125, "y")
		if y < x {
			x, y = y, x
		}
		assert.InDelta(t, float64(x), float64(c.Correct(x)), float64(mostOff)+1e-9)
		assert.LessOrEqual(t, float64(c.Correct(x)), float64(c.Correct(y))+1e-9)
		assert.InDelta(t, float64(x), float64(c.Correct(c.Spoil(x))), 1e-9)
		var back Calibration
		require.NoError(t, back.Set(c.String()))
		assert.InDelta(t, float64(c.Correct(x)), float64(back.Correct(x)), 1e-9)
	})
}

func day(year int) time.Time { return time.Date(year, 10, 3, 0, 0, 0, 0, time.UTC) }

func TestCalibrationWithoutAProbe(t *testing.T) {
	t.Parallel()
	f := Demo()
	f.Loop().Probes[control.Bed] = Probe{Calibration: Calibration{Date: day(2026), Points: []CalibrationPoint{{0.2, 0}}}}
	faults := calibratedNothing(f.Loop())
	require.Len(t, faults, 1)
	assert.Equal(t, "calibration.bed", faults[0].Key)
}
