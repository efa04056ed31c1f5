package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent"
	"duskloop/agent/config"
)

// An error begins with what it means and what to do; what the machine said is behind it, in
// brackets, and stays to be found.
func TestTroubleIsPlain(t *testing.T) {
	t.Parallel()
	none, bad, dir := t.TempDir(), t.TempDir(), t.TempDir()
	for _, simulated := range []bool{false, true} {
		damaged := []byte("SQLite format 3\x00" + strings.Repeat("no page of any record ", 400))
		path := filepath.Join(agent.Folder(bad, simulated), agent.RecordName)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
		require.NoError(t, os.WriteFile(path, damaged, 0o600))
	}
	house, twice := filepath.Join(dir, "house.toml"), filepath.Join(dir, "twice.toml")
	require.NoError(t, os.WriteFile(house, []byte(config.Example()), 0o600))
	require.Contains(t, config.Example(), "# fitted = \"\"")
	require.NoError(t, os.WriteFile(twice, []byte(strings.Replace(config.Example(), "# fitted = \"\"", "fitted = \"house.toml\"", 1)), 0o600))
	words := filepath.Join(dir, "words.toml")
	require.NoError(t, os.WriteFile(words, []byte("sown on the 3rd"), 0o600))
	for _, c := range []struct {
		state string
		args  []string
		says  string // up to the bracket
		cause error
	}{
		{none, []string{"settings"}, "no daemon answers in " + none + ": start it with duskloop run --greenhouse FILE, or add --simulated for the demo's; a service's has --state /var/lib/duskloop", fs.ErrNotExist},
		{none, []string{"settings", "--simulated"}, "start the demo in another terminal with duskloop run", fs.ErrNotExist},
		{none, []string{"hand", "hold", "--for", "1 h"}, "or add --simulated for the demo's; a service's has --state /var/lib/duskloop", agent.ErrNoDaemon},
		{none, []string{"page", "link"}, "or add --simulated for the demo's; a service's has --state /var/lib/duskloop", agent.ErrNoDaemon},
		{none, []string{"export"}, "there is no record in " + none + ": run the daemon first, or add --simulated for the demo's; a service's has --state /var/lib/duskloop", fs.ErrNotExist},
		{none, []string{"nights", "--greenhouse", house}, "run the daemon first, or add --simulated for the demo's; a service's has --state /var/lib/duskloop", fs.ErrNotExist},
		{none, []string{"fit", "--simulated"}, "run it first, with duskloop run", fs.ErrNotExist},
		{bad, []string{"export"}, "a hold included, are lost with it", nil},
		{bad, []string{"nights", "--simulated"}, "a hold included, are lost with it", nil},
		{bad, []string{"fit", "--simulated"}, "a hold included, are lost with it", nil},
		{none, []string{"check", "--greenhouse", twice}, "duskloop fit did not write this file, or it was changed since", agent.ErrConfig},
		{none, []string{"check", "--greenhouse", filepath.Join(none, "x.toml")}, "x.toml: duskloop check --example prints one to begin with", fs.ErrNotExist},
		{none, []string{"check", "--greenhouse", words}, "not TOML, which is lines of name = value below [headings]", agent.ErrConfig},
	} {
		_, _, err := run(t, append([]string{"--state", c.state}, c.args...)...)
		require.Error(t, err, "%v", c.args)
		plain, cause, behind := strings.Cut(err.Error(), " (")
		assert.True(t, behind && len(cause) > 10, "%v: %v", c.args, err)
		assert.True(t, strings.HasSuffix(plain, c.says), "%v: %q", c.args, plain)
		for _, inside := range []string{"dial", "sock", "toml: cannot", "stat ", "database"} {
			assert.NotContains(t, plain, inside)
		}
		if c.cause != nil {
			require.ErrorIs(t, err, c.cause)
		}
	}
}
