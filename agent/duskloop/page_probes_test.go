//go:build !race

package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/browsertest"
)

// stranger hangs a probe on the bench's bus that its file does not name, reading what the
// first of a recorded tree does.
func (s *site) stranger(tree string) {
	s.t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "w1", tree, "devices", "w1_bus_master1", "28-00000d05c001", "w1_slave"))
	require.NoError(s.t, err)
	master := filepath.Join(s.dir, "sys", "devices", "w1_bus_master1", "28-00000d05c009")
	if _, err := os.Stat(master); err != nil {
		require.NoError(s.t, os.Mkdir(master, 0o755))
		require.NoError(s.t, os.Symlink(filepath.Join("..", "..", "..", "devices", "w1_bus_master1", "28-00000d05c009"), filepath.Join(s.dir, "sys", "bus", "w1", "devices", "28-00000d05c009")))
	}
	require.NoError(s.t, os.WriteFile(filepath.Join(master, "w1_slave"), text, 0o644))
}

// A probe that hangs on the bus and stands in no file is listed, follows what it reads while
// the view is open, is called the one that moved most when it is warmed, and gets its line
// for the file.
func TestPageNamesAProbe(t *testing.T) {
	s, p := pageBench(t)
	s.stranger("real-0")
	b := browsertest.Open(t, p.base)
	b.Size(360, 740)
	b.Go("/probes")
	b.AwaitText("#devices", "28-00000d05c009")
	b.AwaitText("#devices", "not in the file")
	b.Go("/probes") // with what it reads to begin from
	b.AwaitText("#devices", "0.0 K")
	b.Tell(markPage)
	s.stranger("good")
	b.AwaitText("#devices .most", "28-00000d05c009")
	b.AwaitText("#devices .most", "moved most")
	b.Await("the same page", stillThere)
	looks(t, b, "warmed", &verdict{unsure: map[string]int{}})
	b.Go("/probes?device=28-00000d05c009&place=outdoors")
	assert.Equal(t, `outdoors = "28-00000d05c009"`, b.Tell(`document.querySelector("#line").value`))
	b.Click("#line")
	assert.Equal(t, `outdoors = "28-00000d05c009"`, b.Tell(`(() => { const l = document.querySelector("#line"); return l.value.slice(l.selectionStart, l.selectionEnd); })()`), "chosen whole with one touch")
	looks(t, b, "named", &verdict{unsure: map[string]int{}})
}
