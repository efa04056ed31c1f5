package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// README's promise: 64 for a wrong command line, whatever is wrong with it.
func TestWrongValuesAreWrongUse(t *testing.T) {
	t.Parallel()
	state := t.TempDir()
	for _, args := range [][]string{
		{"nonsense"}, {"mix", "--units", "metric"},
		{"simulate", "--days", "NaN"}, {"simulate", "--days=-1"}, {"simulate", "--from", "tomorrow"}, {"simulate", "--fault", "rain"},
		{"simulate", "--weather", weatherFile("invented-plain.csv"), "--latitude", "95", "--longitude", "0"},
		{"simulate", "--weather", weatherFile("invented-plain.csv"), "--elevation", "9 K"},
		{"sky", "--at", "noon", "--latitude", "1", "--longitude", "1"}, {"sky", "--at", "2026-01-15T12:00:00Z", "--latitude", "91", "--longitude", "1"},
		{"sky", "--at", "2026-01-15T12:00:00Z", "--latitude", "NaN", "--longitude", "1"},
		{"sky", "--at", "2026-01-15T12:00:00Z", "--latitude", "1", "--longitude", "1", "--turbidity", "0"},
		{"mix", "--mass-fraction", "NaN"}, {"mix", "--water", "4 K", "--glycerin", "1 L"}, {"mix"},
		{"run", "--speed", "0"}, {"export", "--from", "yesterday"}, {"settings", "start_difference"},
		{"settings", "--preview"}, {"settings", "--preview", "a=1", "--nights", "0"}, {"settings", "--preview", "a=1", "--nights", "15"}, {"settings", "--json"}, {"settings", "--back", "a=1"}, {"settings", "--back", "--preview", "a=1"}, {"settings", "a=1", "--nights", "3"},
		{"hand", "hold", "--for", "5"},
	} {
		code, _, err := run(t, append(args, "--state", state)...)
		assert.Equal(t, exitUsage, code, "%v: %v", args, err)
	}
	code, _, _ := run(t, "simulate", "--greenhouse", "nowhere.toml")
	assert.Equal(t, exitConfig, code)
}
