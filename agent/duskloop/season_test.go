package main

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/sensors/quantity"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

func plantFile(size string) string {
	return filepath.Join("..", "..", "testdata", "plant-"+size+".toml")
}

// still is weather that does not change: no sun, and air of one temperature.
type still quantity.Celsius

func (s still) At(time.Time) weather.Sample { return weather.Sample{Air: quantity.Celsius(s)} }

// short is the season command on the large plant over some days of January in place of a
// winter; sky replaces the invented weather where it is given.
func short(t *testing.T, c *seasonCommand, days int, sky weather.Source) (s *session, f *config.File, b season.Bench) {
	t.Helper()
	path := plantFile("large")
	c.Greenhouse = &path
	c.Seed = 1
	s = &session{Context: t.Context(), out: new(bytes.Buffer), err: new(bytes.Buffer)}
	f, err := c.orDemo()
	require.NoError(t, err)
	f, b, err = c.bench(s, f)
	require.NoError(t, err)
	require.Equal(t, time.Date(2025, 10, 1, 5, 0, 0, 0, time.UTC), b.Over.Start, "78.6 degrees west are five hours")
	require.Equal(t, 212, b.Over.Days)
	b.Over.Start, b.Over.Days, b.Steps = b.Over.Start.AddDate(0, 0, 102), days, 30
	if sky != nil {
		b.Sky = func(weather.Sky) weather.Source { return sky }
	}
	return s, f, b
}

func outOf(s *session) string { return s.out.(*bytes.Buffer).String() }

// policyFields are the members of an object of the season command, in order.
const policyFields = "policy degree_hours_below_min degree_hours_below_2c squared_degree_hours mean_night_min_c p5_night_min_c hours_below_0c battery_kwh starts_per_day captured"

// All policies and two plans that believe wrong figures, over three cold days: an array in
// the bench's order, its members as documented, captured as it follows from the others.
func TestSeasonJSON(t *testing.T) {
	t.Parallel()
	c := &seasonCommand{JSON: true, Doubt: 2, SVG: filepath.Join(t.TempDir(), "night.svg")}
	s, f, b := short(t, c, 3, nil)
	require.NoError(t, c.tell(s, f, b, season.Policies()))
	var rows []map[string]any
	require.NoError(t, json.Unmarshal([]byte(outOf(s)), &rows), outOf(s))
	require.Len(t, rows, 10)
	order := []string{"off", "difference", "night-difference", "thermostat", "floor", "plan", "plan-perfect", "foresight", "plan", "plan"}
	fields := strings.Fields(policyFields)
	for i, x := range rows {
		assert.Equal(t, order[i], x["policy"])
		want := slices.Sorted(slices.Values(fields))
		if i > 7 {
			assert.InDelta(t, i-7, x["draw"], 0)
			want = slices.Sorted(slices.Values(append(fields[:len(fields):len(fields)], "draw")))
		}
		assert.Equal(t, want, slices.Sorted(maps.Keys(x)))
		share := (at(rows[0]) - at(x)) / (at(rows[0]) - at(rows[7]))
		assert.InDelta(t, share, x["captured"], 1e-9, order[i])
		if i < 8 {
			assert.LessOrEqual(t, at(rows[7]), at(x), "foresight is never worse than %s", order[i])
		}
	}
	assert.NotEqual(t, rows[8]["squared_degree_hours"], rows[9]["squared_degree_hours"], "another draw")
	assert.Equal(t, fields, inOrder(outOf(s)))
	e := readSVG(t, c.SVG)
	assert.Len(t, e.Classes("way air-panel"), 6, "two say little in a picture")
	assert.Contains(t, e.Words(), "a hard night, 6 ways")
	assert.NotContains(t, e.Words(), "night-difference")
}

// at is a row's squared degree-hours.
func at(x map[string]any) float64 { return x["squared_degree_hours"].(float64) }

// inOrder are the members of the first object of an array, as they are printed.
func inOrder(text string) (all []string) {
	first, _, _ := strings.Cut(text, "}")
	for _, m := range regexp.MustCompile(`"([a-z0-9_]+)":`).FindAllStringSubmatch(first, -1) {
		all = append(all, m[1])
	}
	return all
}

// Where foresight has next to nothing to remove, a share of it would be noise.
func TestSeasonWithoutColdCapturesNothing(t *testing.T) {
	t.Parallel()
	c := &seasonCommand{JSON: true}
	s, f, b := short(t, c, 1, still(12))
	require.NoError(t, c.tell(s, f, b, []string{"off", "thermostat", "foresight"}))
	var rows []map[string]any
	require.NoError(t, json.Unmarshal([]byte(outOf(s)), &rows))
	require.Len(t, rows, 3)
	for _, x := range rows {
		assert.Contains(t, x, "captured")
		assert.Nil(t, x["captured"])
		assert.Zero(t, x["squared_degree_hours"])
	}
}

// As text: a row a policy, wrong figures summed up, a dash where nothing is captured.
func TestSeasonText(t *testing.T) {
	t.Parallel()
	c := &seasonCommand{Doubt: 2}
	s, f, b := short(t, c, 2, nil)
	require.NoError(t, c.tell(s, f, b, []string{"off", "plan", "foresight"}))
	text := outOf(s)
	for _, says := range []string{
		"K²·h", "wrong figures 1", "wrong figures 2", "plans that believe wrong figures: captured", "at worst",
		"foresight without pulses, in its own lumped winter", "crop minimum 5 °C", "(simulated)",
	} {
		assert.Contains(t, text, says)
	}
	s, f, b = short(t, &seasonCommand{}, 1, still(-3))
	require.NoError(t, (&seasonCommand{}).tell(s, f, b, []string{"thermostat"}))
	assert.Regexp(t, `thermostat .* -\n`, outOf(s), "without off and foresight nothing is known of shares")
}

// Policies are told in the bench's order, each once, whatever the order asked for.
func TestSeasonPoliciesInOrder(t *testing.T) {
	t.Parallel()
	got, err := (&seasonCommand{Policy: []string{"plan", "off", "plan"}}).policies()
	require.NoError(t, err)
	assert.Equal(t, []string{"off", "plan"}, got)
	got, err = (&seasonCommand{Policy: []string{"off", "all"}}).policies()
	require.NoError(t, err)
	assert.Equal(t, season.Policies(), got)
}

// The weather file's place stands in for the greenhouse's, and that is printed.
func TestSeasonIsWhereItsWeatherIsFrom(t *testing.T) {
	t.Parallel()
	s := &session{Context: t.Context(), out: new(bytes.Buffer), err: new(bytes.Buffer)}
	path := wholeYear(t, "51.5", "7.25", "0")
	f := config.Demo()
	moved, b, err := (&seasonCommand{Weather: path, Seed: 1}).bench(s, f)
	require.NoError(t, err)
	assert.Contains(t, s.err.(*bytes.Buffer).String(), "the greenhouse is simulated where this weather is from, at 51.5 deg, 7.25 deg")
	assert.InDelta(t, 51.5, float64(moved.Site.Latitude), 1e-9)
	assert.InDelta(t, 51.5, float64(b.House.Plant.Site.Latitude), 1e-9)
	assert.Equal(t, time.Date(2025, 10, 1, 0, 0, 0, 0, time.UTC), b.Over.Start, "the file's own clock")
	assert.InDelta(t, 44.2, float64(f.Site.Latitude), 0.1, "the file's own is left alone")
}

// wholeYear is a typical year of invented hours, its months from different years.
func wholeYear(t *testing.T, latitude, longitude, zone string) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("# zone " + zone + ", latitude " + latitude + ", longitude " + longitude + "\ntime,air_c,ghi_w_m2\n")
	for m := time.January; m <= time.December; m++ {
		for at := time.Date(1990+int(m)*7%11, m, 1, 0, 0, 0, 0, time.UTC); at.Month() == m; at = at.Add(time.Hour) {
			b.WriteString(at.Format("2006-01-02T15:04") + ",4,0\n")
		}
	}
	path := filepath.Join(t.TempDir(), "typical.csv")
	require.NoError(t, os.WriteFile(path, []byte(b.String()), 0o600))
	return path
}

// What cannot be flown is refused before anything is.
func TestSeasonRefuses(t *testing.T) {
	t.Parallel()
	unseen := filepath.Join(t.TempDir(), "unseen.toml")
	text, err := os.ReadFile(plantFile("small"))
	require.NoError(t, err)
	without := regexp.MustCompile(`(?m)^greenhouse = "28-.*\n`).ReplaceAllString(string(text), "")
	require.NotEqual(t, string(text), without)
	require.NoError(t, os.WriteFile(unseen, []byte(without), 0o600))
	for _, x := range []struct {
		code int
		says string
		args []string
	}{
		{exitUsage, `not "thermostats"`, []string{"--policy", "thermostats"}},
		{exitUsage, "off, difference, night-difference, thermostat, floor, plan, plan-perfect, foresight, or all", []string{"--policy", "none"}},
		{exitUsage, "--doubt is 0 or more", []string{"--doubt=-1"}},
		{exitConfig, "a plan needs a probe at the greenhouse", []string{"--greenhouse", unseen}},
		{exitConfig, "no such file", []string{"--greenhouse", "nowhere.toml"}},
		{exitFault, "no whole winter from 1 October to 30 April: ", []string{"--weather", weatherFile("invented-plain.csv")}},
		{exitFault, "nothing near", []string{"--weather", weatherFile("invented-tmy3.csv")}},
		{exitFault, "no such file", []string{"--weather", "nowhere.csv"}},
		{exitFault, "cannot be written", []string{"--policy", "off", "--svg", filepath.Join(t.TempDir(), "missing", "a.svg")}},
	} {
		code, out, err := run(t, append([]string{"season"}, x.args...)...)
		assert.Equal(t, x.code, code, "%v", x.args)
		require.ErrorContains(t, err, x.says)
		assert.NotContains(t, out, "flown", "%v", x.args)
	}
}

// The whole command over a whole invented winter of the demonstration, in its units.
func TestSeasonOfAWholeWinter(t *testing.T) {
	t.Parallel()
	code, out, err := run(t, "season", "--policy", "off")
	require.NoError(t, err)
	assert.Zero(t, code)
	assert.Contains(t, out, "°F²·h")
	assert.Regexp(t, `\n +off +[1-9]\d+ .* -\n`, out, "whose tunnel is cold without heat")
}
