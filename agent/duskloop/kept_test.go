package main

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/fitted"
	"duskloop/sim/fit"
	"duskloop/sim/plant"
)

// Whatever a command writes, it replaces nothing of another kind: a greenhouse file above all.
// What is refused is refused before anything is read or computed.
func TestWrongNamesReplaceNothing(t *testing.T) {
	t.Parallel()
	house := filepath.Join(t.TempDir(), "greenhouse.toml")
	require.NoError(t, os.WriteFile(house, []byte(config.Example()), 0o644))
	dir, state := t.TempDir(), t.TempDir()
	put := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		return path
	}
	link := filepath.Join(dir, "link.toml")
	require.NoError(t, os.Symlink(house, link))
	notes, page := put("notes", "sown on the 3rd\n"), put("page.html", "<html><svg/></html>")
	for name, c := range map[string]struct {
		args []string
		path string
		says string
	}{
		"a fit over its own greenhouse":    {[]string{"fit", "--greenhouse", house, "--write", house}, house, "is your greenhouse file, which would be lost"},
		"a fit over it by another name":    {[]string{"fit", "--greenhouse", house, "--write", link}, house, "is your greenhouse file, which would be lost"},
		"a fit over another greenhouse":    {[]string{"fit", "--simulated", "--write", house}, house, "is there and is no file that duskloop fit wrote; choose another name"},
		"a fit over notes":                 {[]string{"fit", "--greenhouse", house, "--write", notes}, notes, "is there and is no file that duskloop fit wrote"},
		"a picture over a greenhouse file": {[]string{"simulate", "--days", "3000", "--svg", house}, house, "is there and is no SVG picture; choose another name"},
		"a picture over a page":            {[]string{"season", "--svg", page}, page, "is no SVG picture"},
		"a page over a greenhouse file":    {[]string{"size", "--greenhouse", house, "--html", house}, house, "is there and is no HTML page"},
	} {
		t.Run(name, func(t *testing.T) {
			before, err := os.ReadFile(c.path)
			require.NoError(t, err)
			code, out, err := run(t, append([]string{"--state", state}, c.args...)...)
			require.ErrorContains(t, err, c.says)
			assert.Equal(t, exitUsage, code)
			assert.Empty(t, out)
			after, err := os.ReadFile(c.path)
			require.NoError(t, err)
			assert.Equal(t, string(before), string(after))
		})
	}
	assert.Len(t, files(t, dir), 3, "nothing is left behind")
	_, err := keepRun(notes, true, false, false)
	require.ErrorContains(t, err, "no run that duskloop trial follow kept")
}

// What was written by the same command is replaced, and so is an empty file.
func TestKeptKinds(t *testing.T) {
	t.Parallel()
	made := time.Date(2026, 1, 20, 9, 0, 0, 0, time.UTC)
	r := &fit.Result{Figures: []fit.Figure{{Name: "coil", Unit: "W/K", Value: 19, File: 19, Told: true, Low: 17, High: 21}}}
	data, err := fitted.Of(r, plant.AlderHollow(), fitted.Duties{Pump: 1, Fans: 1}, "bench", made.AddDate(0, 0, -7), made, made).Encode()
	require.NoError(t, err)
	for text, is := range map[string]kept{
		"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- drawn --><svg xmlns=\"http://www.w3.org/2000/svg\"/>": isSVG,
		"\ufeff\n<!DOCTYPE HTML>\n<html>":      isHTML,
		"<html>":                               isHTML,
		simulatedMark + runHead + ",panel_v\n": isRun,
		runHead + "\n":                         isRun,
		string(data):                           isFit,
	} {
		path := filepath.Join(t.TempDir(), "x")
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		require.NoError(t, replaceable(path, is), "%s", text)
		require.NoError(t, os.WriteFile(path, nil, 0o644))
		require.NoError(t, replaceable(path, is), "empty")
		require.NoError(t, os.WriteFile(path, []byte("x"+text), 0o644))
		require.Error(t, replaceable(path, is))
	}
}
