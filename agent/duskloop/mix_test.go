package main

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// run runs a command line in this process.
func run(t *testing.T, args ...string) (code int, stdout string, err error) {
	t.Helper()
	var out, errs bytes.Buffer
	code, err = command(t.Context(), args, &out, &errs)
	return code, out.String() + errs.String(), err
}

// jsonOf runs a command line that prints one JSON object.
func jsonOf(t *testing.T, args ...string) map[string]any {
	t.Helper()
	code, out, err := run(t, args...)
	require.NoError(t, err)
	require.Zero(t, code)
	var x map[string]any
	require.NoError(t, json.Unmarshal([]byte(out), &x), out)
	return x
}

func TestMixJSON(t *testing.T) {
	t.Parallel()
	x := jsonOf(t, "mix", "--water", "4 L", "--glycerin", "1 L", "--at", "50 °C", "--json")
	keys := []string{"mass_fraction", "volume_l", "freezing_c", "boiling_c", "density_kg_m3", "specific_heat_j_kgk", "viscosity_mpas", "conductivity_w_mk"}
	assert.Len(t, x, len(keys))
	for _, k := range keys {
		assert.Contains(t, x, k)
	}
	// Worked recipe: 3.9928 + 1.2611 = 5.2539 kg, w 0.240, 4.971 L.
	assert.InDelta(t, 0.240, x["mass_fraction"], 0.0005)
	assert.InDelta(t, 4.971, x["volume_l"], 0.005)

	x = jsonOf(t, "mix", "--mass-fraction", "0.38", "--at=-10 °C", "--json")
	assert.Nil(t, x["volume_l"])
	assert.Contains(t, x, "volume_l")
	assert.Equal(t, x, jsonOf(t, "mix", "--mass-fraction=0.38", "--at", "-10 °C", "--json"), "both ways to write a minus")
}

func TestMixText(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name string
		args []string
		code int
		says string
	}{
		{"recipe", []string{"--protect", "-20 °C", "--volume", "5 gal"}, 0, "water +"},
		{"popular recipe", []string{"--mass-fraction", "0.3"}, 0, "freezes near -14.5 °C"},
		{"too cold", []string{"--protect=-45 °C"}, 1, "-40 °C at the lowest"},
		{"poison", []string{"--ethylene-glycol", "1 L"}, 1, "poisonous"},
		{"too strong", []string{"--water", "1 L", "--glycerin", "2 L"}, 1, "more glycerin protects less"},
		{"frozen", []string{"--mass-fraction", "0.3", "--at", "-20 °C", "--json"}, 1, "freezing at -9.5 °C to 100 °C"},
		{"nothing asked", nil, 1, "give one of"},
		{"not a number", []string{"--mass-fraction", "NaN"}, 1, "no number"},
		{"a forgotten value", []string{"--mass-fraction", "--json"}, 1, "no number"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			code, out, err := run(t, append([]string{"mix"}, row.args...)...)
			assert.Equal(t, row.code, code)
			if err != nil {
				out += err.Error()
			}
			assert.Contains(t, out, row.says)
		})
	}
}
