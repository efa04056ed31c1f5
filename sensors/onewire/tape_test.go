package onewire_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/onewire"
	"duskloop/sensors/tape"
)

// Recorder and player stand in for sysfs.
var (
	_ onewire.Tree = (*tape.TreeRecorder)(nil)
	_ onewire.Tree = (*tape.TreePlayer)(nil)
	_ onewire.Tree = (*onewire.Sysfs)(nil)
)

// TestTape runs one and the same driver test on a tree and on the tape of it.
func TestTape(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"good", "real-85"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			tree, err := onewire.OpenSysfs(trees + "/" + name)
			require.NoError(t, err)
			defer tree.Close()
			recorder := tape.RecordTree(tree)
			readsPlausibly(t, onewire.New(recorder))

			player := tape.PlayTree(recorder.Ops())
			readsPlausibly(t, onewire.New(player))
			assert.NoError(t, player.Close())
		})
	}
}
