package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
)

// described writes the example with other words for its tank, and is the file's path.
func described(t *testing.T, tank ...string) string {
	t.Helper()
	text := config.Example()
	for _, line := range tank {
		key, _, _ := strings.Cut(line, " =")
		for _, old := range []string{"# " + key + " = false\n", "# " + key + " = \"0 L\"\n"} {
			text = strings.Replace(text, old, line+"\n", 1)
		}
		require.Contains(t, text, "\n"+line+"\n")
	}
	path := filepath.Join(t.TempDir(), "greenhouse.toml")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

// Example: 6.3 gal of 35 % glycerin, cut-out at 195 °F, units of the US.
func TestClosedVesselIsWarnedOf(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name string
		tank []string
		says string // nothing: no warning of a vessel
	}{
		{"roomy", []string{"closed = true", `vessel = "8 gal"`}, "psi over the air outside"},
		{"tight", []string{"closed = true", `vessel = "7 gal"`}, "no bound"},
		{"too small", []string{"closed = true", `vessel = "6.5 gal"`}, "the liquid no longer fits in it"},
		{"not told", []string{"closed = true"}, "is not told"},
		{"with relief", []string{"closed = true", "relief_valve = true"}, ""},
		{"open", nil, ""},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			path := described(t, row.tank...)
			checked, _, err := apart(t, "check", "--greenhouse", path)
			require.NoError(t, err)
			out, simulated, err := apart(t, "simulate", "--greenhouse", path, "--days", "0.05", "--json")
			require.NoError(t, err)
			require.True(t, json.Valid([]byte(out)), "the JSON stays clean: %s", out)
			for _, text := range []string{checked, simulated} {
				if row.says == "" {
					assert.NotContains(t, text, "WARNING: The tank is described as closed")
					continue
				}
				assert.Contains(t, text, "WARNING: The tank is described as closed")
				assert.Contains(t, text, row.says)
				assert.Contains(t, text, "Fit a pressure relief valve and leave room to expand")
			}
		})
	}
}

// A pump that cannot push its flow is a fault of the file, with its line, in both.
func TestPumpTooWeakIsAFaultOfTheFile(t *testing.T) {
	t.Parallel()
	text := strings.Replace(config.Example(), "[loop.bench.model]\n", "[loop.bench.model]\npump_head = \"1 m\"\npipe_bore = \"4 mm\"\npipe_length = \"20 m\"\n", 1)
	path := filepath.Join(t.TempDir(), "greenhouse.toml")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	for _, args := range [][]string{{"check"}, {"simulate", "--days", "0.05"}} {
		code, _, err := run(t, append(args, "--greenhouse", path)...)
		assert.Equal(t, exitConfig, code, "%v", args)
		require.ErrorContains(t, err, "loop.bench.model.pump_head = ")
		assert.Contains(t, err.Error(), "line ")
	}
}

// What evaporates stands in the table, in the file's units, and only where something
// does; the CSV keeps its columns.
func TestSimulateTellsTheWaterGone(t *testing.T) {
	t.Parallel()
	open := strings.Replace(config.Example(), "[loop.bench.model]\n", "[loop.bench.model]\nopen_surface = \"0.05 m2\"\n", 1)
	path := filepath.Join(t.TempDir(), "open.toml")
	require.NoError(t, os.WriteFile(path, []byte(open), 0o600))
	wet, stderr, err := apart(t, "simulate", "--greenhouse", path, "--days", "0.5")
	require.NoError(t, err)
	assert.Regexp(t, `water evaporated, gal \(top it up: an uncovered element burns\) +0\.[0-9]*[1-9]`, wet)
	assert.Contains(t, stderr, "of water leave it in a day")
	dry, _, err := apart(t, "simulate", "--days", "0.5")
	require.NoError(t, err)
	assert.NotContains(t, dry, "evaporated")
	assert.Contains(t, dry, "highest tunnel air, °F")
	for _, args := range [][]string{{"--greenhouse", path}, nil} {
		out, _, err := apart(t, append([]string{"simulate", "--days", "0.5", "--csv"}, args...)...)
		require.NoError(t, err)
		assert.Contains(t, out, "water evaporated, L")
	}
	s, _ := simulated(t, "--greenhouse", path, "--days", "0.5")
	assert.Positive(t, s.WaterGoneKg)
	assert.Greater(t, s.HighestTunnelC, s.LowestTunnelC)
}
