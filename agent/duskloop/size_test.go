package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/sizing"
	"duskloop/sensors/quantity"
)

// sized is the command's sketch, over some days of its winter.
func sized(t *testing.T, c *sizeCommand, days int) (*session, *sizing.Sketch, quantity.Units) {
	t.Helper()
	c.Policy, c.Warm, c.Seed = "floor", "60 °C", 1
	if c.Steps == 0 {
		c.Steps = 3
	}
	s := &session{Context: t.Context(), out: new(bytes.Buffer), err: new(bytes.Buffer)}
	f, err := c.orDemo()
	require.NoError(t, err)
	x, u, err := c.sketch(s, f)
	require.NoError(t, err)
	require.Equal(t, 212, x.Over.Days)
	x.Over.Start, x.Over.Days = x.Over.Start.AddDate(0, 0, 85), days
	require.NoError(t, x.Ready())
	return s, x, u
}

// The whole worksheet as text and as JSON, with its page beside it.
func TestSizeWorksheet(t *testing.T) {
	t.Parallel()
	path := plantFile("large")
	c := &sizeCommand{HTML: filepath.Join(t.TempDir(), "sheet.html"), Units: "us"}
	c.Greenhouse = &path
	s, x, u := sized(t, c, 10)
	require.NoError(t, c.sheet(s, x, u))
	text := outOf(s)
	for _, say := range []string{
		"Will it keep the crop above 41 °F?", "What helps most", "a second cover on the tunnel", "The winter", "How the tank heats up",
		"Panel and element", "The mix", "The vessel", "Coil and fans", "Battery", "Cables and fuses", "Before you wire anything",
		"mass x specific heat x difference / power", "nobody's",
	} {
		assert.Contains(t, text, say)
	}
	for _, line := range strings.Split(text, "\n") {
		assert.LessOrEqual(t, len([]rune(line)), 120, line)
	}
	page, err := os.ReadFile(c.HTML)
	require.NoError(t, err)
	assert.Contains(t, string(page), "</html>")

	c.JSON, c.HTML = true, ""
	s.out = new(bytes.Buffer)
	require.NoError(t, c.sheet(s, x, u))
	var w map[string]any
	require.NoError(t, json.Unmarshal([]byte(outOf(s)), &w))
	for _, key := range []string{"without_heat", "with_heat", "heater", "heat_up", "at_steady_power", "tank", "coil", "battery", "cables", "levers", "together", "coldest_night", "heat"} {
		assert.Contains(t, w, key)
	}
	assert.GreaterOrEqual(t, len(w["levers"].([]any)), 12)
	first := w["levers"].([]any)[0].(map[string]any)
	for _, key := range []string{"name", "keys", "gain", "held", "squared_degree_hours"} {
		assert.Contains(t, first, key)
	}
}

// One question: a row for each value, as text, as JSON, as a picture.
func TestSizeVary(t *testing.T) {
	t.Parallel()
	c := &sizeCommand{Vary: "tank.volume=10L..80L", SVG: filepath.Join(t.TempDir(), "tank.svg")}
	s, x, u := sized(t, c, 4)
	require.NoError(t, c.vary(s, x, u))
	for _, say := range []string{"tank.volume", "10 L", "45 L", "80 L", "nights held", "The file has 6.3 gal"} {
		assert.Contains(t, outOf(s), say)
	}
	assert.Contains(t, readSVG(t, c.SVG).Words(), "tank.volume")
	c.JSON, c.SVG = true, ""
	s.out = new(bytes.Buffer)
	require.NoError(t, c.vary(s, x, u))
	var v struct {
		Key  string
		Rows []map[string]any
	}
	require.NoError(t, json.Unmarshal([]byte(outOf(s)), &v))
	assert.Equal(t, "tank.volume", v.Key)
	require.Len(t, v.Rows, 3)
	assert.InDelta(t, 45, v.Rows[1]["value"], 1e-9)
}

// Weather of monthly minima: as cold as asked for, at the latitude asked for, and said.
func TestSizeByMonthlyMinima(t *testing.T) {
	t.Parallel()
	lows := strings.Split("10 °F,12 °F,20 °F,30 °F,40 °F,50 °F,55 °F,54 °F,45 °F,35 °F,25 °F,15 °F", ",")
	latitude := "50"
	c := &sizeCommand{Lows: lows}
	c.Latitude = &latitude
	_, x, _ := sized(t, c, 31)
	assert.InDelta(t, 50, float64(x.File.Site.Latitude), 0)
	assert.Contains(t, x.Weather, "50.0° of latitude")
	assert.Contains(t, x.Weather, "10 °F")
	lit, err := x.Lit()
	require.NoError(t, err)
	assert.Less(t, lit.Coldest(), quantity.Celsius(-14), "a January of -12.2 °C in the mean has colder nights")
	mild, warm := lows, strings.Split(strings.Repeat("15 °C,", 11)+"15 °C", ",")
	_, y, _ := sized(t, &sizeCommand{Lows: mild, Highs: warm}, 31)
	assert.Contains(t, y.Weather, "minima and maxima given")
}

// What cannot be asked is refused on the line, with its flag.
func TestSizeRefuses(t *testing.T) {
	t.Parallel()
	for says, args := range map[string][]string{
		"twelve temperatures":          {"--lows", "1 °C,2 °C"},
		"--highs goes with --lows":     {"--highs", strings.Repeat("9 °C,", 11) + "9 °C"},
		"no unit":                      {"--lows", strings.Repeat("9,", 11) + "9"},
		"one of them":                  {"--lows", strings.Repeat("9 °C,", 11) + "9 °C", "--weather", "x.csv"},
		"minimum < maximum":            {"--lows", strings.Repeat("9 °C,", 11) + "9 °C", "--highs", strings.Repeat("8 °C,", 11) + "8 °C"},
		"write a key and two values":   {"--vary", "tank.volume"},
		"no such setting":              {"--vary", "tank.colour=1..2"},
		"--svg goes with --vary":       {"--svg", "x.svg"},
		"--html draws the worksheet":   {"--vary", "tank.volume=10L..20L", "--html", "x.html"},
		"not above the crop's minimum": {"--warm", "1 °C"},
		"units are si or us":           {"--units", "metric"},
		"latitude":                     {"--latitude", "99"},
	} {
		code, _, err := run(t, append([]string{"size"}, args...)...)
		assert.Equal(t, exitUsage, code, "%v", args)
		assert.ErrorContains(t, err, says, "%v", args)
	}
	code, _, err := run(t, "size", "--weather", "nowhere.csv")
	assert.Equal(t, exitFault, code)
	assert.Error(t, err)
}
