package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/match"
	"duskloop/sim/pv"
	"duskloop/sim/sun"
)

// apart runs a command line and keeps the two outputs apart.
func apart(t *testing.T, args ...string) (stdout, stderr string, err error) {
	t.Helper()
	var out, errs bytes.Buffer
	_, err = command(t.Context(), args, &out, &errs)
	return out.String(), errs.String(), err
}

func weatherFile(name string) string {
	return filepath.Join("..", "..", "testdata", "weather", name)
}

// with is the command line for the 36-cell module A and more.
func with(more ...string) []string { return append(append([]string{}, nameplateA...), more...) }

// rowsOf runs element over a season and reads its JSON.
func rowsOf(t *testing.T, more ...string) (rows []match.Row, stderr string) {
	t.Helper()
	out, stderr, err := apart(t, with(append(more, "--json")...)...)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal([]byte(out), &rows), out)
	return rows, stderr
}

// The line that must keep working, as it stands in the issue.
func TestElementPointKeys(t *testing.T) {
	t.Parallel()
	x := jsonOf(t, "element", "--voc", "22.3 V", "--isc", "5.95 A", "--vmp", "18.4 V", "--imp", "5.43 A", "--cells", "36", "--alpha", "0.05 %/K",
		"--beta", "-0.31 %/K", "--resistance", "1.44 ohm", "--irradiance", "800 W/m2", "--cell", "25 °C", "--json")
	for _, key := range []string{"isc_a", "voc_v", "imp_a", "vmp_v", "pmp_w", "volt_v", "current_a", "power_w", "match_pct"} {
		assert.Contains(t, x, key)
	}
	assert.Len(t, x, 9)
	assert.Equal(t, x, jsonOf(t, "element", "--voc=22.3 V", "--isc=5.95 A", "--vmp=18.4 V", "--imp=5.43 A", "--cells=36", "--alpha=0.05 %/K",
		"--beta=-0.31 %/K", "--resistance=1.44 ohm", "--irradiance=800 W/m2", "--cell=25 °C", "--json"))
	// Ohm's and Joule's laws hold between the printed figures.
	assert.InDelta(t, x["current_a"].(float64)*1.44, x["volt_v"], 1e-9)
	assert.InDelta(t, x["current_a"].(float64)*x["volt_v"].(float64), x["power_w"], 1e-9)
}

func TestElementByItsLabel(t *testing.T) {
	t.Parallel()
	want := jsonOf(t, with("--resistance", "1.44 ohm", "--json")...)
	assert.Equal(t, want, jsonOf(t, with("--rated", "100 W", "--rated-at", "12 V", "--json")...))
	for _, bad := range [][]string{{"--rated", "100 W"}, {"--rated-at", "12 V"}, {"--rated", "100 W", "--rated-at", "12 V", "--resistance", "1 ohm"},
		{"--rated", "0 W", "--rated-at", "12 V"}, {}} {
		_, _, err := apart(t, with(bad...)...)
		assert.Error(t, err, "%v", bad)
	}
}

// Two alike in series have twice the volts and in parallel twice the amperes; on an
// element that is as much larger or smaller, each panel works where it did.
func TestElementWiring(t *testing.T) {
	t.Parallel()
	one := jsonOf(t, with("--resistance", "2 ohm", "--json")...)
	row := jsonOf(t, with("--resistance", "4 ohm", "--series", "2", "--json")...)
	side := jsonOf(t, with("--resistance", "1 ohm", "--parallel", "2", "--json")...)
	for _, two := range []map[string]any{row, side} {
		assert.InEpsilon(t, 2*one["power_w"].(float64), two["power_w"], 1e-9)
		assert.InEpsilon(t, 2*one["pmp_w"].(float64), two["pmp_w"], 1e-9)
		assert.InEpsilon(t, one["match_pct"].(float64), two["match_pct"], 1e-9)
	}
	assert.InEpsilon(t, 2*one["voc_v"].(float64), row["voc_v"], 1e-9)
	assert.InEpsilon(t, 2*one["isc_a"].(float64), side["isc_a"], 1e-9)
	// Rewired by arithmetic is the same as fitted as an array.
	parallel, _ := rowsOf(t, "--weather", weatherFile("invented-tmy3.csv"), "--resistance", "1.44 ohm", "--cable", "0.1 ohm", "--parallel", "2")
	x, _ := aSeason(t, weatherFile("invented-tmy3.csv"), func(time.Month) bool { return true })
	got := x.Rewired(match.Wiring{Series: 1, Parallel: 1}, match.Wiring{Series: 1, Parallel: 2}, 1.44, 0.1)
	assert.InEpsilon(t, parallel[0].Energy, got.Energy, 1e-9)
	assert.InEpsilon(t, parallel[0].MatchPct, got.MatchPct, 1e-9)
	assert.InEpsilon(t, parallel[0].MaxW, got.MaxW, 1e-9)
	assert.InEpsilon(t, parallel[0].MaxV, got.MaxV, 1e-9)
}

// aSeason is module A at 60° to the south under a file.
func aSeason(t *testing.T, path string, wanted func(time.Month) bool) (*litSeason, float64) {
	t.Helper()
	m, err := pv.Fit(pv.Nameplate{Voc: 22.3, Isc: 5.95, Vmp: 18.4, Imp: 5.43, Cells: 36, Alpha: 0.0005, Beta: -0.0031})
	require.NoError(t, err)
	f, err := readWeather(path)
	require.NoError(t, err)
	site, known, err := placeFlags{}.site(f)
	require.NoError(t, err)
	require.True(t, known)
	x := overSeason(f, site, sun.Plane{Tilt: 60, Facing: 180, Albedo: 0.2}, wanted, m)
	return x, x.Best
}

func winter(m time.Month) bool { return m >= time.October || m <= time.March }

// What the reference notes on solar heating by a resistor say of a real year (computed
// there with other code): the best fixed resistance, two panels in parallel, a tenth
// less light, the hours that bring the heat.
func TestSeasonInsightOnTheRealYear(t *testing.T) {
	t.Parallel()
	path := os.Getenv("DUSKLOOP_WEATHER")
	if path == "" {
		t.Log("DUSKLOOP_WEATHER is not set: what a real season means is not checked here")
		return
	}
	for _, r := range []struct {
		name        string
		wanted      func(time.Month) bool
		kWh, ohm    float64
		match, heat float64 // of 1.44 ohm: %, kWh
	}{
		{"Oct-Mar", winter, 75.85, 4.8, 32.2, 24.42},
		{"Apr-Sep", func(m time.Month) bool { return !winter(m) }, 77.56, 5.8, 27.7, 21.46},
		{"year", func(time.Month) bool { return true }, 153.41, 5.3, 29.9, 45.88},
	} {
		x, best := aSeason(t, path, r.wanted)
		row, top := x.On(1.44, 0), x.BestElement(0)
		t.Logf("%s: best point %.2f kWh, best element %.2f ohm %.1f %%, 1.44 ohm %.2f kWh %.1f %%", r.name, best, top.Resistance, top.MatchPct, row.Energy, row.MatchPct)
		assert.InEpsilon(t, r.kWh, best, 0.02)
		assert.InEpsilon(t, r.ohm, top.Resistance, 0.02)
		assert.InEpsilon(t, r.heat, row.Energy, 0.02)
		assert.InEpsilon(t, r.match, row.MatchPct, 0.02)
	}
	x, _ := aSeason(t, path, winter)
	row := x.On(1.44, 0)
	assert.InEpsilon(t, 76.8, x.BestElement(0).MatchPct, 0.02)
	two := x.Rewired(match.Wiring{Series: 1, Parallel: 1}, match.Wiring{Series: 1, Parallel: 2}, 1.44, 0)
	assert.InEpsilon(t, 62, two.MatchPct, 0.02)
	assert.InEpsilon(t, 3.9, two.Energy/row.Energy, 0.02)
	assert.InEpsilon(t, 19.8, x.Dimmed(0.9).On(1.44, 0).Energy, 0.02)
	bright, best := x.Above(600, 1.44, 0)
	notDull, _ := x.Above(200, 1.44, 0)
	assert.InDelta(t, 0.80, bright, 0.01)
	assert.InDelta(t, 0.61, best, 0.01)
	assert.InDelta(t, 0.02, 1-notDull, 0.005)

	out, _, err := apart(t, with("--weather", path, "--months", "10-03", "--resistance", "1.44 ohm")...)
	require.NoError(t, err)
	for _, say := range []string{"about a third (32.2 %)", "follows the square of the sun: a tenth less light is 19 % less heat",
		"4.8 ohm would take most: 76.8 %, 2.4 times the heat", "1 in series, 2 in parallel: 62.0 % of their best, 3.9 times", "Most comes from 1.44 ohm on 1 in series, 2 in parallel",
		"bring 80 % of the heat (61 % of the panel's best), those below 200 W/m2 2 %", "134 Wh a day"} {
		assert.Contains(t, out, say)
	}
}

// The best resistance is better than its neighbours, found without a table; and what
// is said changes with the element, since it is computed.
func TestSeasonWordsComeFromTheSeason(t *testing.T) {
	t.Parallel()
	x, _ := aSeason(t, weatherFile("invented-tmy3.csv"), func(time.Month) bool { return true })
	top := x.BestElement(0)
	for _, r := range []float64{0.5, 0.9, 1.1, 2} {
		assert.Less(t, x.On(quantity.Ohm(r*top.Resistance), 0).Energy, top.Energy)
	}
	small, _, err := apart(t, with("--weather", weatherFile("invented-tmy3.csv"), "--resistance", "0.5 ohm")...)
	require.NoError(t, err)
	assert.Contains(t, small, "follows the square of the sun")
	assert.Contains(t, small, "It is below the panel's Vmp/Imp of 3.3")
	large, _, err := apart(t, with("--weather", weatherFile("invented-tmy3.csv"), "--resistance", "20 ohm", "--series", "2", "--parallel", "2")...)
	require.NoError(t, err)
	assert.Contains(t, large, "grows with the sun to the power 0.")
	assert.Contains(t, large, "4 such panels on 20.00 ohm")
	assert.Contains(t, large, "Most comes from 20.00 ohm on 4 in series, 1 in parallel")
	for _, text := range []string{small, large} {
		assert.Contains(t, text, "rated to break as direct current")
	}
	dark, _, err := apart(t, with("--weather", weatherFile("invented-tmy3.csv"), "--resistance", "2 ohm", "--latitude", "44.2", "--longitude=-78.6", "--months", "01-01")...)
	require.NoError(t, err)
	assert.NotContains(t, dark, "No light falls on the panel")
	night := bent(t, "invented-plain.csv", func(cells []string) { cells[2] = "0" })
	dark, _, err = apart(t, with("--weather", night, "--resistance", "2 ohm")...)
	require.NoError(t, err)
	assert.Contains(t, dark, "No light falls on the panel")
}

// Every layout gives a season; the three NSRDB steps are of the same two days or the
// first of them, and agree.
func TestElementReadsEveryLayout(t *testing.T) {
	t.Parallel()
	perDay := map[string]float64{}
	for name, days := range map[string]float64{"invented-pvgis-hourly.csv": 3, "invented-pvgis-typical.csv": 4, "invented-nsrdb-60.csv": 2,
		"invented-nsrdb-30.csv": 2, "invented-nsrdb-5.csv": 1, "invented-plain.csv": 10, "invented-tmy3.csv": 3} {
		rows, stderr := rowsOf(t, "--weather", weatherFile(name), "--resistance", "1.44 ohm", "--resistance", "5 ohm")
		require.Len(t, rows, 2, name)
		assert.Greater(t, rows[1].Energy, rows[0].Energy, name)
		assert.Equal(t, name == "invented-plain.csv", strings.Contains(stderr, "split off the global by Erbs"), name)
		assert.NotContains(t, stderr, "wrong?", name)
		perDay[name] = rows[0].Energy / days
	}
	assert.InEpsilon(t, perDay["invented-nsrdb-60.csv"], perDay["invented-nsrdb-30.csv"], 0.02)
	assert.InEpsilon(t, perDay["invented-nsrdb-60.csv"], perDay["invented-nsrdb-5.csv"], 0.03)
}

// A plain file that says nothing of place and clock needs the flags, and a clock that
// is not the sun's is told.
func TestElementWhereTheFileDoesNotSay(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile(weatherFile("invented-plain.csv"))
	require.NoError(t, err)
	bare := filepath.Join(t.TempDir(), "bare.csv")
	require.NoError(t, os.WriteFile(bare, []byte(strings.Replace(string(text), "latitude", "somewhere", 1)), 0o600))
	args := []string{"--weather", bare, "--resistance", "1.44 ohm"}
	_, _, err = apart(t, with(args...)...)
	assert.ErrorContains(t, err, "does not say where it is: give --latitude and --longitude")
	_, _, err = apart(t, with(append(args, "--latitude", "44.2")...)...)
	assert.ErrorContains(t, err, "go together")
	said, _ := rowsOf(t, "--weather", weatherFile("invented-plain.csv"), "--resistance", "1.44 ohm")
	rows, stderr := rowsOf(t, append(args, "--latitude", "44.2", "--longitude=-78.6", "--elevation", "190 m")...)
	assert.Equal(t, said, rows)
	assert.NotContains(t, stderr, "wrong?")
	_, stderr = rowsOf(t, append(args, "--latitude", "44.2", "--longitude=-90.6")...)
	assert.Contains(t, stderr, " off the file's clock: is the zone, the stamp or the place wrong?")
	// Five hours off, the sun would shine through the ground.
	out, _, err := apart(t, with(append(args, "--latitude", "44.2", "--longitude", "0")...)...)
	require.NoError(t, err)
	assert.Contains(t, out, "columns, units or clock wrong?")
	_, _, err = apart(t, with(append(args, "--latitude", "95", "--longitude", "0")...)...)
	assert.Error(t, err)
}
