package agent

import (
	"bytes"
	"compress/gzip"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/picture"
	"duskloop/agent/record"
)

// The picture of a whole winter day of the demo, which goes out in the first page, leaves
// of its 40 kB the rest (12 kB) to everything else; and a line of it that is read off by
// finger takes a fraction of the whole line's bytes.
func TestPictureInPageIsSmall(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	start := DemoStart(f, time.Time{})
	noon := NoonBefore(start, SunZone(f)).AddDate(0, 0, 1)
	p, err := NewPictured(f, noon, noon.AddDate(0, 0, 1), f.Daemon.Period.Duration())
	require.NoError(t, err)
	_, err = Simulate(t.Context(), Trial{File: f, Start: start, Days: noon.AddDate(0, 0, 1).Sub(start).Hours() / 24, Seed: 1, Policy: ByRules, Seen: func(x *record.Reading) { p.Add(x) }})
	require.NoError(t, err)
	whole := inPage(t, p.Picture())
	p.Finger()
	lean := inPage(t, p.Picture())
	t.Logf("a winter day's picture: %d bytes zipped, %d with every extreme and no values", zipped(t, lean), zipped(t, whole))
	assert.Less(t, zipped(t, lean), 28_000)
	assert.Greater(t, strings.Count(lean, "<path"), 20)
}

func inPage(t *testing.T, p picture.Picture) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, picture.InPage(&b, p, "p"))
	return b.String()
}

func zipped(t *testing.T, text string) int {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	_, err := z.Write([]byte(text))
	require.NoError(t, err)
	require.NoError(t, z.Close())
	return b.Len()
}
