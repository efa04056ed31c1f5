package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
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
		{"too cold", []string{"--protect=-45 °C"}, 64, "-40 °C at the lowest"},
		{"poison", []string{"--ethylene-glycol", "1 L"}, 64, "poisonous"},
		{"too strong", []string{"--water", "1 L", "--glycerin", "2 L"}, 64, "more glycerin protects less"},
		{"too strong, its freezing", []string{"--water", "1 L", "--glycerin", "2 L"}, 64, "71.6 % glycerin by weight; freezes at -29.8 °C"},
		{"too strong, its range", []string{"--mass-fraction", "0.7"}, 64, "0 to 60 %"},
		{"no such share", []string{"--mass-fraction", "1.2"}, 64, "0 to 60 %"},
		{"protection past 60 %", []string{"--protect", "-38 °C", "--volume", "5 gal"}, 0, "65 % glycerin by weight; freezes at -43 °C"},
		{"in the mountains", []string{"--mass-fraction", "0.35", "--elevation", "2000 m"}, 0, "boils at 96.6 °C at 2000 m above the sea (air at 79.5 kPa)"},
		{"too high", []string{"--mass-fraction", "0.35", "--elevation", "9000 m"}, 64, "-500 to 6000 m"},
		{"frozen", []string{"--mass-fraction", "0.3", "--at", "-20 °C", "--json"}, 64, "freezing at -9.5 °C to 100 °C"},
		{"nothing asked", nil, 64, "give one of"},
		{"not a number", []string{"--mass-fraction", "NaN"}, 64, "no number"},
		{"a forgotten value", []string{"--mass-fraction", "--json"}, 64, "no number"},
		{"65 % asked for", []string{"--mass-fraction", "0.65"}, 0, "65 % glycerin by weight; freezes at -43 °C"},
		{"a hint", []string{"--mass-fraction", "38"}, 64, "write 0.38 or '38 %'"},
		{"margin", []string{"--protect", "-20 °C", "--volume", "10 L"}, 0, "a mix for 3 K lower needs"},
		{"margin in °F", []string{"--protect", "-4 °F", "--units", "us"}, 0, "a mix for 5 °F lower needs"},
		{"no margin left", []string{"--protect", "-39 °C"}, 0, "no mix is offered for 3 K lower"},
		{"too cold in °F", []string{"--protect=-49 °F", "--units", "us"}, 64, "-49 °F; -40 °F at the lowest"},
		{"frozen in °F", []string{"--mass-fraction", "0.3", "--at", "-4 °F", "--units", "us"}, 64, "-4 °F: figures are known for the liquid, from freezing at 14.9 °F to 212 °F"},
		{"too high in ft", []string{"--mass-fraction", "0.35", "--elevation", "30000 ft", "--units", "us"}, 64, "30000 ft: the air is known for -1640 to 19685 ft"},
		{"boiled away", []string{"--mass-fraction", "0.1", "--elevation", "3000 m", "--at", "95 °C"}, 0, "an open tank has boiled there"},
		{"two volumes", []string{"--water", "4 L", "--glycerin", "1 L", "--volume", "5 L"}, 64, "the volume follows"},
		{"nothing of nothing", []string{"--water", "0 L", "--glycerin", "0 L"}, 64, "volumes above zero"},
		{"negative", []string{"--mass-fraction=-0.1"}, 64, "no share"},
		// 8.3454 lb/gal is 1000 kg/m3; water at 68 °F has 998.2 kg/m3, 4184 J/(kg K) and 1.00
		// mPa s, 0.598 W/(m K) (IAPWS): by hand 8.330, 0.9993, 0.3457.
		{"water in pounds", []string{"--mass-fraction", "0", "--units", "us"}, 0, "at 68 °F: density 8.330 lb/gal"},
		{"heat in Btu", []string{"--mass-fraction", "0", "--units", "us"}, 0, "specific heat 0.999"},
		{"conductivity in feet", []string{"--mass-fraction", "0", "--units", "us"}, 0, "conductivity 0.345"},
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
			assert.NotContains(t, out, "correlations")
			for _, foreign := range []string{"°C", "kg/m3", " L ", "kPa", " K "} {
				if slices.Contains(row.args, "us") {
					assert.NotContains(t, strings.ReplaceAll(out, "(-14.5 °C)", ""), foreign)
				}
			}
		})
	}
}
