package record

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control"
)

// Damage in any table, or a file that is none, is known at opening, and set aside
// it makes way for a new record.
func TestDamageIsKnownAtOpening(t *testing.T) {
	t.Parallel()
	for _, table := range []string{"kept", "event", "reading", "whole file"} {
		t.Run(table, func(t *testing.T) {
			t.Parallel()
			path := filepath.Join(t.TempDir(), "r.db")
			r, err := Open(path, DefaultOptions())
			require.NoError(t, err)
			r.Keep("a", "b")
			r.Append(reading(0), event(0))
			require.NoError(t, r.Flush(t.Context()))
			page := 1
			if table != "whole file" {
				require.NoError(t, r.read.QueryRow("SELECT rootpage FROM sqlite_schema WHERE name = ?", table).Scan(&page))
			}
			require.NoError(t, r.Close())
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			const size = 4096 // SQLite's page size
			copy(data[(page-1)*size:page*size], bytes.Repeat([]byte{0xff}, size))
			require.NoError(t, os.WriteFile(path, data, 0o600))

			_, err = Open(path, DefaultOptions())
			require.ErrorIs(t, err, ErrDamaged)
			aside, err := SetAside(path, dusk)
			require.NoError(t, err)
			assert.FileExists(t, aside)
			again := open(t, path, DefaultOptions())
			again.Append(reading(0))
			assert.Equal(t, int64(0), again.Committed())
		})
	}
}

func TestATidyThatFailsIsNotForgotten(t *testing.T) {
	t.Parallel()
	r := open(t, filepath.Join(t.TempDir(), "r.db"), DefaultOptions())
	r.noteTidy(assert.AnError)
	r.Append(nil, event(0))
	require.NoError(t, r.Flush(t.Context()))
	assert.ErrorIs(t, r.Err(), assert.AnError)
}

func TestANewerFileIsRefused(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "r.db")
	r, err := Open(path, DefaultOptions())
	require.NoError(t, err)
	_, err = r.write.Exec("PRAGMA user_version = 99")
	require.NoError(t, err)
	require.NoError(t, r.Close())
	_, err = Open(path, DefaultOptions())
	require.ErrorContains(t, err, "newer version")
}

func TestColumnsAreAllNamedOnce(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for _, c := range readingColumns() {
		assert.False(t, seen[c], c)
		seen[c] = true
	}
	assert.Len(t, strings.Split(sumSQL(), "avg("), 4+int(control.Places))
}

// A file of version 1 has no heating power: it can be exported as it is, and the daemon
// gives it the column.
func TestFileOfVersionOne(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "r.db")
	r, err := Open(path, DefaultOptions())
	require.NoError(t, err)
	at := time.Date(2026, 1, 5, 6, 0, 0, 0, time.UTC)
	r.Append(&Reading{At: at, Loop: "bench", Heating: Known(120, 0)})
	require.NoError(t, r.Close())
	old, err := connect(path, "rwc")
	require.NoError(t, err)
	for _, sql := range []string{"ALTER TABLE reading DROP COLUMN heating_w", "PRAGMA user_version = 1"} {
		_, err = old.Exec(sql)
		require.NoError(t, err)
	}
	require.NoError(t, old.Close())

	read := func() string {
		reader, err := OpenReadOnly(path)
		require.NoError(t, err)
		defer reader.Close()
		var b strings.Builder
		_, err = reader.Readings(t.Context(), &b, at, at.Add(time.Hour))
		require.NoError(t, err)
		return b.String()
	}
	assert.Contains(t, read(), "2026-01-05T06:00:00Z,bench,")

	r, err = Open(path, DefaultOptions())
	require.NoError(t, err)
	r.Append(&Reading{At: at.Add(time.Minute), Loop: "bench", Heating: Known(187.5, 0)})
	require.NoError(t, r.Close())
	lines := strings.Split(strings.TrimSpace(read()), "\n")
	require.Len(t, lines, 3)
	assert.True(t, strings.HasSuffix(lines[1], ","), "not known then")
	assert.True(t, strings.HasSuffix(lines[2], ",187.5"))
}
