package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
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

// Every row of the reference table, by the command a grower would type; sources and
// what is promised of each basis stand in sim/fluid.
func TestMixAgainstTable(t *testing.T) {
	t.Parallel()
	f, err := os.Open(filepath.Join("..", "..", "sim", "fluid", "testdata", "glycerol_water.csv"))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	promises := map[string][4]float64{
		"iapws": {0.002, 0.01, 0.02, 0.02}, "mgl": {0.002, 0.01, 0.01, 0.02}, "hot": {0.005, 0.03, 0.02, 0.05},
	}
	columns := []string{"density_kg_m3", "specific_heat_j_kgk", "viscosity_mpas", "conductivity_w_mk"}
	require.Greater(t, len(rows), 30)
	for _, row := range rows[1:] {
		x := jsonOf(t, "mix", "--mass-fraction", row[0], "--at", row[1]+" °C", "--json")
		for i, column := range columns {
			want, err := strconv.ParseFloat(row[2+i], 64)
			require.NoError(t, err)
			assert.InEpsilon(t, want, x[column], promises[row[6]][i], "w %s at %s °C: %s", row[0], row[1], column)
		}
	}
}

// Water activity of Zhang, Grace & Sun 2022 times IAPWS-IF97, computed elsewhere:
// 104.2 °C at w 0.4; and what is not known past 60 % is null, not a guess.
func TestMixBoilingAndUnknowns(t *testing.T) {
	t.Parallel()
	x := jsonOf(t, "mix", "--mass-fraction", "0.4", "--json")
	assert.InDelta(t, 104.2, x["boiling_c"], 0.3)
	high := jsonOf(t, "mix", "--mass-fraction", "0.4", "--elevation=2000 m", "--json")
	assert.InDelta(t, 79.5, high["pressure_kpa"], 0.1, "ICAO standard atmosphere")
	assert.Less(t, high["boiling_c"], 99.0)
	x = jsonOf(t, "mix", "--protect=-38 °C", "--volume", "5 gal", "--json")
	assert.InDelta(t, -43, x["freezing_c"], 1e-9)
	for _, key := range []string{"boiling_c", "density_kg_m3", "specific_heat_j_kgk", "viscosity_mpas", "conductivity_w_mk"} {
		assert.Contains(t, x, key)
		assert.Nil(t, x[key], key)
	}
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
		{"too strong, its freezing", []string{"--water", "1 L", "--glycerin", "2 L"}, 1, "71.6 % glycerin by weight; freezes at -29.8 °C"},
		{"too strong, its range", []string{"--mass-fraction", "0.7"}, 1, "0 to 60 %"},
		{"no such share", []string{"--mass-fraction", "1.2"}, 1, "0 to 60 %"},
		{"protection past 60 %", []string{"--protect", "-38 °C", "--volume", "5 gal"}, 0, "65 % glycerin by weight; freezes at -43 °C"},
		{"in the mountains", []string{"--mass-fraction", "0.35", "--elevation", "2000 m"}, 0, "boils at 96.6 °C at 2000 m above the sea (air at 79.5 kPa)"},
		{"too high", []string{"--mass-fraction", "0.35", "--elevation", "9000 m"}, 1, "-500 to 6000 m"},
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
