package main

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent"
	"duskloop/agent/internal/svgtest"
	"duskloop/agent/record"
	"duskloop/control"
)

// simulateSVG is a short command line that draws.
func simulateSVG(path string, more ...string) []string {
	return append([]string{"simulate", "--days", "0.1", "--svg", path}, more...)
}

func readSVG(t *testing.T, path string) *svgtest.Element {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	e, err := svgtest.Parse(f)
	require.NoError(t, err)
	return e
}

// The picture is beside the figures, says that it is simulated, and is of the run by
// the rules however many others stand beside it.
func TestSimulateDraws(t *testing.T) {
	t.Parallel()
	alone, beside := filepath.Join(t.TempDir(), "a.svg"), filepath.Join(t.TempDir(), "b.svg")
	code, out, err := run(t, simulateSVG(alone)...)
	require.NoError(t, err)
	assert.Zero(t, code)
	assert.Contains(t, out, "pump starts")
	_, _, err = run(t, simulateSVG(beside, "--beside", "always-on", "--beside", "off")...)
	require.NoError(t, err)
	e := readSVG(t, alone)
	assert.Empty(t, svgtest.Differences(readSVG(t, beside), e, 0))
	assert.Contains(t, e.Words(), "Alder Hollow, loop bench")
	assert.Contains(t, e.Words(), "(simulated)")
	assert.Contains(t, e.Words(), "°F")
	assert.NotNil(t, e.Class("night"))
}

// demoRecord is a state folder with two hours of a record.
func demoRecord(t *testing.T) string {
	t.Helper()
	state := t.TempDir()
	r, err := record.Open(filepath.Join(agent.Folder(state, true), agent.RecordName), record.DefaultOptions())
	require.NoError(t, err)
	for i := range 720 {
		x := record.Reading{At: time.Date(2026, 1, 15, 22, 0, 10*i, 0, time.UTC), Loop: "bench", Simulated: true, Mode: control.Resting}
		x.Places[control.Tunnel] = record.Known(8+float64(i)/100, 0)
		r.Append(&x)
	}
	require.NoError(t, r.Close())
	return state
}

// The record is drawn over what was asked for, or over what there is.
func TestExportDraws(t *testing.T) {
	t.Parallel()
	state, path := demoRecord(t), filepath.Join(t.TempDir(), "night.svg")
	export := func(more ...string) (int, error) {
		code, out, err := run(t, append([]string{"--state", state, "export", "--simulated", "--svg", path}, more...)...)
		assert.Empty(t, out, "no CSV beside it")
		return code, err
	}
	_, err := export()
	require.NoError(t, err)
	assert.Contains(t, readSVG(t, path).Words(), "Jan 15 17:00 to Jan 15 2026 19:00; times in UTC-5")
	_, err = export("--from", "2026-01-15T22:30:00Z", "--to", "2026-01-15T23:00:00Z")
	require.NoError(t, err)
	assert.Contains(t, readSVG(t, path).Words(), "Jan 15 17:30 to Jan 15 2026 18:00")
	before, err := os.ReadFile(path)
	require.NoError(t, err)

	code, err := export("--from", "2027-01-01")
	assert.Equal(t, exitFault, code)
	require.ErrorContains(t, err, "no readings in this time range")
	code, err = export("--events")
	assert.Equal(t, exitUsage, code)
	require.ErrorContains(t, err, "leave --events out")
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, before, after, "a picture that cannot be drawn replaces none")
	assert.Len(t, files(t, filepath.Dir(path)), 1, "and nothing is left behind")
}

func files(t *testing.T, dir string) []os.DirEntry {
	t.Helper()
	all, err := os.ReadDir(dir)
	require.NoError(t, err)
	return all
}

// A file that cannot be written is refused before anything is simulated for it.
func TestUnwritablePicturesAreRefused(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	plain := filepath.Join(dir, "plain")
	require.NoError(t, os.WriteFile(plain, nil, 0o600))
	for path, says := range map[string]string{
		filepath.Join(dir, "missing", "a.svg"): "cannot be written",
		filepath.Join(plain, "a.svg"):          "not a directory",
		dir:                                    "is no plain file",
		"/dev/full":                            "is no plain file",
	} {
		code, out, err := run(t, "simulate", "--days", "3000", "--svg", path)
		assert.Equal(t, exitFault, code, path)
		require.ErrorContains(t, err, says)
		require.ErrorContains(t, err, "--svg")
		assert.Empty(t, out)
	}
	assert.Len(t, files(t, dir), 1)
	code, _, err := run(t, "simulate", "--days", "0.001", "--svg", filepath.Join(dir, "a.svg"))
	assert.Equal(t, exitUsage, code)
	require.ErrorContains(t, err, "at least 2m0s")
}

// A simulation that is stopped leaves the old picture, and no scraps.
func TestAStoppedSimulationLeavesThePictureAlone(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "a.svg")
	require.NoError(t, os.WriteFile(path, []byte("<svg/>"), 0o644))
	ctx, stop := context.WithCancel(t.Context())
	stop()
	code, err := command(ctx, simulateSVG(path), io.Discard, io.Discard)
	assert.Equal(t, exitFault, code)
	require.ErrorContains(t, err, "simulation stopped")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "<svg/>", string(text))
	assert.Len(t, files(t, filepath.Dir(path)), 1)
}
