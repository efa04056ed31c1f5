package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sunFile writes a bench run of 4 L of water heated by a resistor of 3 ohm on a panel, two
// hours on and one off, of which the column records what is wanted: panel_v, irradiance or
// nothing. Clouds take up to half of the voltage's square; brightest is the panel's voltage
// in the best light, V.
func sunFile(t *testing.T, name, column string, brightest float64, steady bool, seed uint64) string {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 6))
	var text strings.Builder
	fmt.Fprintf(&text, "time,liquid_c,air_c,on,%s\n", column)
	if column == "" {
		text.Reset()
		text.WriteString("time,liquid_c,air_c,on\n")
	}
	heat, temp := 4*0.9982*4179, 15.0 // as in runFile
	for s := range 3 * 3600 {
		sun, on := 0.75+0.25*math.Sin(float64(s)/700+float64(seed)), 1.0
		if steady {
			sun = 1
		}
		volts := brightest * math.Sqrt(sun)
		if s >= 2*3600 {
			on, volts = 0, 1.2*brightest // without its heater a panel stands higher
		}
		if s%30 == 0 {
			fmt.Fprintf(&text, "%d,%.4f,14,%.0f", s, temp+0.05*r.NormFloat64(), on)
			switch column {
			case "panel_v":
				fmt.Fprintf(&text, ",%.3f", volts*(1+0.002*r.NormFloat64()))
			case "irradiance":
				fmt.Fprintf(&text, ",%.1f", 900*sun)
			}
			text.WriteString("\n")
		}
		temp += (on*brightest*brightest*sun/3 - 0.9*(temp-14)) / heat
	}
	path := filepath.Join(t.TempDir(), name+".csv")
	require.NoError(t, os.WriteFile(path, []byte(text.String()), 0o600))
	return path
}

// A run under a changing sun is told from one at constant power: by voltage or irradiance
// where recorded, by the readings where not; and what is a mean only is not compared.
func TestTrialTellsTheSun(t *testing.T) {
	t.Parallel()
	files := []string{
		sunFile(t, "volts", "panel_v", 18, false, 1), sunFile(t, "light", "irradiance", 18, false, 2),
		sunFile(t, "unseen", "", 18, false, 3), sunFile(t, "supply", "panel_v", 18, true, 4), sunFile(t, "plain", "", 18, true, 5),
	}
	want := []struct{ kind, by string }{
		{"changing-sun", "panel voltage"}, {"changing-sun", "irradiance"}, {"looks-like-changing-sun", "readings"},
		{"constant", "panel voltage"}, {"constant", "readings"},
	}
	x := jsonOf(t, append([]string{"trial", "--volume", "4 L", "--json"}, files...)...)
	for i, r := range x["runs"].([]any) {
		got := r.(map[string]any)
		assert.Equal(t, want[i].kind, got["power_kind"], got["run"])
		assert.Equal(t, want[i].by, got["power_told_by"], got["run"])
		assert.Equal(t, i == 2, got["power_is_a_mean"], got["run"])
		assert.Equal(t, i == 2, got["unsteady"], got["run"])
	}
	for _, p := range x["pairs"].([]any) {
		pair := p.(map[string]any)
		assert.Equal(t, pair["first"] == "volts" && pair["second"] == "supply", pair["comparable"], "%v", pair)
		assert.Equal(t, pair["comparable"] == false, pair["why_not"] != nil)
	}
	_, out, err := run(t, append([]string{"trial", "--volume", "4 L"}, files...)...)
	require.NoError(t, err)
	for _, says := range []string{
		"Under a changing sun, followed by its panel voltage (power varied by 2", "followed by its irradiance",
		"This looks like a changing sun", "Its power is a mean only", "Constant power, by its panel voltage (within 0 %)",
		"Nothing in its readings speaks against a constant power", "volts and supply: no difference beyond chance",
		"unseen and plain cannot be compared: the power of unseen is a mean under a changing sun",
		"volts and light cannot be compared: the power of volts stands at 18.",
	} {
		assert.Contains(t, out, says)
	}
}

// Runs under different suns by the same heater are equal once stated at one voltage; 108 W
// at 18 V is V²/R of 3 ohm.
func TestTrialStatesRunsAtOneVoltage(t *testing.T) {
	t.Parallel()
	x := jsonOf(t, "trial", sunFile(t, "bright", "panel_v", 18, false, 1), sunFile(t, "dull", "panel_v", 13, false, 2), "--volume", "4 L", "--json")
	for _, r := range x["runs"].([]any) {
		got := r.(map[string]any)
		at := got["at_panel_v"].(float64)
		assert.InDelta(t, 18, at, 0.2)
		assert.InEpsilon(t, at*at/3, got["power_w"], 0.03)
		assert.InEpsilon(t, 0.9, got["loss_w_k"], 0.03)
	}
	assert.Equal(t, false, x["pairs"].([]any)[0].(map[string]any)["differ"])
}

// The results as CSV are those of JSON, a row a run.
func TestTrialCSV(t *testing.T) {
	t.Parallel()
	files := []string{runFile(t, "long", 90, 0.9, 1), sunFile(t, "volts", "panel_v", 18, false, 1)}
	x := jsonOf(t, append([]string{"trial", "--volume", "4 L", "--json"}, files...)...)["runs"].([]any)
	out, _, err := apart(t, append([]string{"trial", "--volume", "4 L", "--csv"}, files...)...)
	require.NoError(t, err)
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 3)
	require.Equal(t, "name", rows[0][0])
	keys := map[string]string{"loss_w_per_k": "loss_w_k", "loss_error_w_per_k": "loss_error_w_k", "heat_j_per_k": "heat_j_k", "name": "run"}
	for i := range x {
		for k, name := range rows[0] {
			key := name
			if renamed, ok := keys[name]; ok {
				key = renamed
			}
			want, ok := x[i].(map[string]any)[key]
			if !ok {
				assert.Empty(t, rows[i+1][k], name)
				continue
			}
			if number, is := want.(float64); is {
				got, err := strconv.ParseFloat(rows[i+1][k], 64)
				require.NoError(t, err, name)
				assert.InDelta(t, number, got, 1e-5*math.Abs(number), name)
				continue
			}
			assert.Equal(t, want, rows[i+1][k], name)
		}
	}
	_, _, err = apart(t, append([]string{"trial", "--volume", "4 L", "--csv", "--json"}, files...)...)
	assert.ErrorContains(t, err, "--csv")
}
