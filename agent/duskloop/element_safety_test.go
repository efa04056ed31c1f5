package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bent is one of the invented files with the cells of its rows changed.
func bent(t *testing.T, name string, change func(cells []string)) string {
	t.Helper()
	text, err := os.ReadFile(weatherFile(name))
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	for k, line := range lines {
		cells := strings.Split(line, ",")
		if !strings.ContainsAny(line[:1], "0123456789") || len(cells) < 4 || strings.Contains(line, "INVENTED") {
			continue
		}
		change(cells)
		lines[k] = strings.Join(cells, ",")
	}
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(strings.Join(lines, "\n")+"\n"), 0o600))
	return path
}

// By hand from the label: 22.3 V and -0.31 %/K are 25.76 V at -25 °C and 24.72 V at
// -10 °C; 5.95 A times 1.25 twice is 9.30 A; two panels double the one or the other.
// Watts in full sun on 1.44 ohm: 48.96 (sim/pv/testdata/single_diode.csv).
func TestElementSaysWhatPartsMustStand(t *testing.T) {
	t.Parallel()
	out, _, err := apart(t, with("--resistance", "1.44 ohm", "--irradiance", "800 W/m2")...)
	require.NoError(t, err)
	assert.Contains(t, out, "Must break and carry: 25.8 V DC; fuse and cable for 9.3 A.")
	assert.Contains(t, out, "the cells are taken at -25 °C")
	assert.Contains(t, out, "In full sun the element must stand 49 W")
	assert.Contains(t, out, "or what your local code asks")
	out, _, err = apart(t, with("--resistance", "1.44 ohm", "--series", "3", "--parallel", "3")...)
	require.NoError(t, err)
	assert.Contains(t, out, "Must break and carry: 77.3 V DC; fuse and cable for 27.9 A.")
	assert.Contains(t, out, "each string needs a fuse of its own")
	assert.Contains(t, out, "77 V DC can kill at a touch")

	out, _, err = apart(t, with("--weather", weatherFile("invented-tmy3.csv"), "--resistance", "1.44 ohm")...)
	require.NoError(t, err)
	for _, say := range []string{"cells at -10 °C", "1 in series, 1 in parallel: 24.7 V DC; fuse and cable for 9.3 A", "1 in series, 2 in parallel: 24.7 V DC; fuse and cable for 18.6 A",
		"2 in series, 1 in parallel: 49.4 V DC; fuse and cable for 9.3 A", "these are means over 1 h", "allow a margin", "say for -25 °C, allow for 25.8 V a panel"} {
		assert.Contains(t, out, say)
	}
	cold := bent(t, "invented-plain.csv", func(cells []string) { cells[1] = "-33" })
	out, _, err = apart(t, with("--weather", cold, "--resistance", "1.44 ohm")...)
	require.NoError(t, err)
	// 22.3 V (1 + 0.0031 x 58)
	assert.Contains(t, out, "cells at -33 °C (the coldest air of the file")
	assert.Contains(t, out, "1 in series, 1 in parallel: 26.3 V DC")
}

// No element is recommended above its label without the word not to.
func TestElementAboveItsLabel(t *testing.T) {
	t.Parallel()
	season := []string{"--weather", weatherFile("invented-tmy3.csv")}
	// 12 V and 25 W are 5.76 ohm, which the panel overloads three times.
	out, stderr, err := apart(t, with("--rated", "25 W", "--rated-at", "12 V", "--json")...)
	require.NoError(t, err)
	assert.Contains(t, stderr, "times its label of 25 W: do not.")
	assert.NotContains(t, out, "do not")
	out, _, err = apart(t, with(append(season, "--rated", "25 W", "--rated-at", "12 V")...)...)
	require.NoError(t, err)
	lines := strings.Split(out, "\n")
	checked := 0
	for _, line := range lines {
		if strings.Contains(line, "5.76 ohm on 1 in series, 2 in parallel") || strings.Contains(line, "5.76 ohm on 2 in series, 1 in parallel") || strings.Contains(line, " parallel: ") && strings.Contains(line, "at most") {
			checked++
			assert.Contains(t, line, "times its label of 25 W: do not.")
		}
	}
	assert.GreaterOrEqual(t, checked, 3)
	assert.Contains(t, out, "None of them stays within its label.")
	out, _, err = apart(t, with(append(season, "--rated", "100 W", "--rated-at", "12 V")...)...)
	require.NoError(t, err)
	assert.Contains(t, out, "must cover")
	_, stderr, err = apart(t, with(append(season, "--rated", "25 W", "--rated-at", "12 V", "--json")...)...)
	require.NoError(t, err)
	assert.Contains(t, stderr, "do not.")
	// A label that one wiring exceeds and another does not.
	out, _, err = apart(t, with(append(season, "--rated", "70 W", "--rated-at", "12 V", "--series", "2")...)...)
	require.NoError(t, err)
	assert.Contains(t, out, "times its label of 70 W: do not. Within its label most comes from 2.06 ohm on 2 in series, 1 in parallel.")
}

func TestSeveralElements(t *testing.T) {
	t.Parallel()
	season := []string{"--weather", weatherFile("invented-tmy3.csv")}
	out, _, err := apart(t, with(append(season, "--resistance", "1.44 ohm", "--resistance", "5 ohm")...)...)
	require.NoError(t, err)
	for _, say := range []string{"2 such panels on 1.44 ohm", "2 such panels on 5.00 ohm", "Of all these pairs most comes from 5.00 ohm on 1 in series, 2 in parallel"} {
		assert.Contains(t, out, say)
	}
	rows, _ := rowsOf(t, append(season, "--rated", "100 W", "--rated-at", "12 V", "--rated", "100 W", "--rated-at", "24 V")...)
	require.Len(t, rows, 2)
	assert.InDelta(t, 5.76, rows[1].Resistance, 1e-9)
	_, _, err = apart(t, with(append(season, "--rated", "100 W", "--rated", "50 W", "--rated-at", "12 V")...)...)
	assert.ErrorContains(t, err, "one of each for an element")
}

// Files that make no sense are told before any figure, on both sides; one without any row
// of the months is refused with exit code 1, wrong words with 64.
func TestElementDistrustsGarbage(t *testing.T) {
	t.Parallel()
	swapped := bent(t, "invented-tmy3.csv", func(c []string) { c[2], c[3] = c[3], c[2] })
	fahrenheit := bent(t, "invented-plain.csv", func(c []string) { c[1] = "50" })
	mild := bent(t, "invented-plain.csv", func(c []string) { c[1] = "39" }) // a winter's mean in °F
	bright := bent(t, "invented-plain.csv", func(c []string) {
		if c[2] != "0.0" {
			c[2] = "1550"
		}
	})
	good := weatherFile("invented-plain.csv")
	rows := []struct {
		name string
		args []string
		code int
		says string
	}{
		{"no such month", []string{"--weather", good, "--months", "04-06"}, 1, "no row of the months"},
		{"no months", []string{"--weather", good, "--months", "01-13"}, 64, "write two months"},
		{"half a month", []string{"--weather", good, "--months", "01-02x"}, 64, "write two months"},
		{"no file", []string{"--weather", "nowhere.csv"}, 1, "no such file"},
		{"no number", []string{"--irradiance", "NaN"}, 64, "no number"},
		{"no unit", []string{"--cable", "3"}, 64, "--cable"},
		{"steep", []string{"--weather", good, "--tilt", "120"}, 64, "0 to 90"},
		{"no panel", []string{"--series", "0"}, 64, "at least one"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			code, _, err := run(t, with(append(row.args, "--resistance", "1.44 ohm")...)...)
			assert.Equal(t, row.code, code)
			assert.ErrorContains(t, err, row.says)
		})
	}
	for path, says := range map[string]string{swapped: "columns swapped?", fahrenheit: "in °F?", bright: "from panels of 100 W"} {
		out, stderr, err := apart(t, with("--weather", path, "--resistance", "1.44 ohm")...)
		require.NoError(t, err)
		for _, text := range []string{out, stderr} {
			assert.Contains(t, text, "DO NOT TRUST THESE FIGURES: ")
			assert.Contains(t, text, says)
		}
	}
	out, _, err := apart(t, with("--weather", good, "--resistance", "1.44 ohm", "--months", "01-06")...)
	require.NoError(t, err)
	assert.Contains(t, out, "it has nothing of March, April, May, June")
	code, _, err := run(t, with("--weather", mild, "--resistance", "1.44 ohm")...)
	assert.Zero(t, code, "of ten days a mean of 39 °C says nothing: %v", err)
}

// A file with part of the months says so, on both sides.
func TestElementTellsItsCoverage(t *testing.T) {
	t.Parallel()
	out, stderr, err := apart(t, with("--weather", weatherFile("invented-plain.csv"), "--resistance", "1.44 ohm", "--months", "01-02")...)
	require.NoError(t, err)
	for _, text := range []string{out, stderr} {
		assert.Contains(t, text, "the file has 10 of 59 days asked")
	}
	path := os.Getenv("DUSKLOOP_WEATHER")
	if path == "" {
		t.Log("DUSKLOOP_WEATHER is not set: a whole year is not checked here")
		return
	}
	for _, months := range []string{"10-03", "01-12", "02-02"} {
		_, stderr, err = apart(t, with("--weather", path, "--resistance", "1.44 ohm", "--months", months)...)
		require.NoError(t, err)
		assert.NotContains(t, stderr, "days asked")
	}
}
