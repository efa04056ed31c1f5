package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// runFile writes a bench run of 4 L of water whose power and loss are known: two hours on,
// one off, read every half minute with noise.
func runFile(t *testing.T, name string, power, loss float64, seed uint64) string {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 5))
	var text strings.Builder
	text.WriteString("time,liquid_c,air_c,on\n")
	// 4 L of water at 20 °C, 998.2 kg/m³, and 4179 J/kgK at 40 °C (IAPWS-95, by way of
	// the project's water table).
	heat, temp := 4*0.9982*4179, 15.0
	for s := range 3 * 3600 {
		on := 1
		if s >= 2*3600 {
			on = 0
		}
		if s%30 == 0 {
			fmt.Fprintf(&text, "%d,%.4f,14,%d\n", s, temp+0.05*r.NormFloat64(), on)
		}
		temp += (power*float64(on) - loss*(temp-14)) / heat
	}
	path := filepath.Join(t.TempDir(), name+".csv")
	require.NoError(t, os.WriteFile(path, []byte(text.String()), 0o600))
	return path
}

// Runs of known power and loss come back within 3 %, in JSON and in words; what differs is
// told apart, what is equal is not.
func TestTrialOfFiles(t *testing.T) {
	t.Parallel()
	long, coiled, again := runFile(t, "long", 90, 0.9, 1), runFile(t, "coiled", 96, 0.9, 2), runFile(t, "again", 90, 0.9, 3)
	x := jsonOf(t, "trial", long, coiled, again, "--volume", "4 L", "--json")
	runs, pairs := x["runs"].([]any), x["pairs"].([]any)
	require.Len(t, runs, 3)
	require.Len(t, pairs, 3)
	for i, want := range []float64{90, 96, 90} {
		got := runs[i].(map[string]any)
		assert.InEpsilon(t, want, got["power_w"], 0.03)
		assert.InEpsilon(t, 0.9, got["loss_w_k"], 0.03)
		assert.Equal(t, "constant", got["power_follows"])
	}
	for _, p := range pairs {
		pair := p.(map[string]any)
		equal := pair["first"] != "coiled" && pair["second"] != "coiled"
		assert.Equal(t, !equal, pair["differ"], "%v", pair)
	}
	code, out, err := run(t, "trial", long, coiled, again, "--volume", "1.05669 gal", "--units", "us")
	require.NoError(t, err)
	require.Zero(t, code)
	assert.Contains(t, out, "coiled heats faster than long: by 6.")
	assert.Contains(t, out, "long and again: no difference beyond chance")
	assert.Contains(t, out, "Btu/h for each °F", "0.9 W/K is 1.71 Btu/h°F")
	assert.Contains(t, out, "standing loss 1.7")
	assert.Contains(t, out, "Hot liquid scalds")
}

// What cannot be judged is refused with the file's name and the reason.
func TestTrialRefuses(t *testing.T) {
	t.Parallel()
	good := runFile(t, "good", 90, 0.9, 1)
	bad := filepath.Join(t.TempDir(), "bad.csv")
	require.NoError(t, os.WriteFile(bad, []byte("time,liquid_c,air_c\n0,20,15\n60,21,15\n"), 0o600))
	for _, row := range []struct {
		args []string
		says string
	}{
		{[]string{bad, "--volume", "4 L"}, "2 readings"},
		{[]string{"nowhere.csv", "--volume", "4 L"}, "nowhere.csv"},
		{[]string{good, "--volume", "0 L"}, "more than none"},
		{[]string{good, "--volume", "4 L", "--glycerin", "0.7"}, "--glycerin"},
		{[]string{good}, "--volume"},
	} {
		code, _, err := run(t, append([]string{"trial"}, row.args...)...)
		assert.NotZero(t, code)
		assert.ErrorContains(t, err, row.says)
	}
}
