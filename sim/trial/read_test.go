package trial_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/trial"
)

// A run under a changing sun comes back as one at constant power does, by irradiance or by
// the panel's voltage, in either unit of temperature.
func TestRunsUnderTheSun(t *testing.T) {
	t.Parallel()
	var by, volts strings.Builder
	by.WriteString("time,liquid_c,air_c,irradiance\n")
	volts.WriteString("# a bench in Alder Hollow\ntime, liquid_f, air_f, panel_v\n")
	temp, heat := 16.0, 41800.0
	for s := range 6 * 3600 {
		sun := 0.2 + 0.75*math.Abs(math.Sin(float64(s)/2500))
		if s > 4*3600 {
			sun = 0
		}
		if s%60 == 0 {
			fmt.Fprintf(&by, "%d,%.3f,12,%.1f\n", s, temp, 1000*sun)
			fmt.Fprintf(&volts, "2026-03-01T%02d:%02d:00Z,%.3f,53.6,%.4f\n", 10+s/3600, s/60%60, temp*1.8+32, 20*math.Sqrt(sun))
		}
		temp += (120*sun - 0.8*(temp-12)) / heat
	}
	for name, text := range map[string]string{"irradiance": by.String(), "volts": volts.String()} {
		r, sunlit, highest, err := trial.Read(strings.NewReader(text))
		require.NoError(t, err, name)
		r.Heat = heat
		f, err := trial.Fit(&r)
		require.NoError(t, err, name)
		full := 120.0
		if name == "volts" {
			assert.Equal(t, trial.ByVoltage, sunlit)
			full = 120 * highest * highest / 400
		}
		assert.InEpsilon(t, full, f.Power, 0.03, name)
		assert.InEpsilon(t, 0.8, f.Loss, 0.03, name)
		assert.Zero(t, r.Readings[0].At)
	}
}

func TestWhatIsNoRun(t *testing.T) {
	t.Parallel()
	for text, says := range map[string]string{
		"":                                 "EOF",
		"time,liquid_c\n":                  "air_c",
		"time,liquid_c,air_c,kelvin":       "kelvin",
		"time,time,liquid_c,air_c":         "twice",
		"time,liquid_c,liquid_f,air_c":     "liquid_c or liquid_f",
		"time,liquid_c,air_c\n0,x,1":       "line 2",
		"time,liquid_c,air_c\n0,1\n":       "wrong number of fields",
		"time,liquid_c,air_c,on\n0,1,2,-1": "on of -1",
		"time,liquid_c,air_c\n0,NaN,1":     "no number",
	} {
		_, _, _, err := trial.Read(strings.NewReader(text))
		require.ErrorIs(t, err, trial.ErrFile, text)
		assert.ErrorContains(t, err, says, text)
	}
}

// A last line that a power cut left half is left out; a half line with more after it is not.
func TestALineCutOff(t *testing.T) {
	t.Parallel()
	for _, last := range []string{"60,21,", "60,21", "6", "60,21,15,"} {
		r, _, _, err := trial.Read(strings.NewReader("time,liquid_c,air_c,on\n0,20,15,1\n30,20.5,15,1\n" + last))
		require.NoError(t, err, last)
		assert.Len(t, r.Readings, 2, last)
		_, _, _, err = trial.Read(strings.NewReader("time,liquid_c,air_c,on\n0,20,15,1\n" + last + "\n"))
		require.ErrorIs(t, err, trial.ErrFile, last)
		assert.ErrorContains(t, err, "line 3", last)
	}
	r, _, _, err := trial.Read(strings.NewReader("time,liquid_c,air_c\n0,20,15\n30,20.5,15"))
	require.NoError(t, err)
	assert.Len(t, r.Readings, 2, "a whole line without its end counts")
}
