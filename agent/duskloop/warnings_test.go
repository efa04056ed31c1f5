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
		{"tight", []string{"closed = true", `vessel = "6.5 gal"`}, "no bound"},
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
