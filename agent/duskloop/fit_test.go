package main

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent"
)

// A record of a reading every ten minutes, where one in ten seconds belongs, tells nothing: the
// refusal says so and writes no file. Without the record's own greenhouse file a real
// record is not fitted at all.
func TestFitRefuses(t *testing.T) {
	t.Parallel()
	state := nightsRecord(t, true, time.UTC)
	path := filepath.Join(t.TempDir(), "fitted.toml")
	_, out, err := run(t, "--state", state, "fit", "--simulated", "--write", path)
	require.ErrorContains(t, err, "too little of the record can be used")
	assert.NotContains(t, out, "Verdict")
	_, err = os.Stat(path)
	require.ErrorIs(t, err, os.ErrNotExist)

	_, _, err = run(t, "--state", nightsRecord(t, false, time.UTC), "fit")
	require.ErrorContains(t, err, "--greenhouse FILE")
	_, _, err = run(t, "--state", t.TempDir(), "fit", "--simulated")
	require.ErrorIs(t, err, os.ErrNotExist)
	for _, wrong := range [][]string{{"--nights", "2"}, {"--nights", "900"}, {"--from", "yesterday"}, {"--to", "never"}} {
		code, _, err := run(t, append([]string{"--state", state, "fit", "--simulated"}, wrong...)...)
		require.Error(t, err, "%v", wrong)
		assert.NotZero(t, code)
	}
	_, _, err = run(t, "--state", state, "fit", "--simulated", "--from", "2026-03-01", "--to", "2026-03-09")
	require.ErrorIs(t, err, agent.ErrNoRecord)
}

func TestTuneRefuses(t *testing.T) {
	t.Parallel()
	for _, wrong := range [][]string{
		{"--sets", "3"}, {"--sets", "100000"}, {"--invented", "-1"}, {"--invented", "99"}, {"--draws", "0"}, {"--battery", "-1"}, {"--starts", "-0.1"},
		{"--weather", filepath.Join(t.TempDir(), "none.csv")}, {"--svg", filepath.Join(t.TempDir(), "none", "x.svg")},
	} {
		code, out, err := run(t, append([]string{"tune"}, wrong...)...)
		require.Error(t, err, "%v", wrong)
		assert.NotZero(t, code)
		assert.Empty(t, out)
	}
	other := filepath.Join(t.TempDir(), "flights")
	require.NoError(t, os.WriteFile(other, []byte(`{"of":"something else"}`+"\n"), 0o600))
	_, _, err := run(t, "tune", "--resume", other)
	require.ErrorContains(t, err, "another greenhouse file")
}
