package onewire_test

import (
	"context"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors"
	"duskloop/sensors/onewire"
)

// TestPolledWedgedFile is real time and a real system call that does not
// return: the faulty probe's file is a pipe that nobody writes to.
func TestPolledWedgedFile(t *testing.T) {
	t.Parallel()
	top := copied(t, "good")
	pipe := filepath.Join(top, "devices/w1_bus_master1", faulty, "w1_slave")
	require.NoError(t, os.Remove(pipe))
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))

	p := sensors.NewPoller(sensors.Wiring{Buses: []sensors.Wired{{Bus: open(t, top), Probes: []string{faulty, sound}}}},
		20*time.Millisecond, 50*time.Millisecond)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	go p.Run(ctx)
	eventually := func(what string, ok func() bool) {
		t.Helper()
		require.Eventually(t, ok, 10*time.Second, 5*time.Millisecond, what)
	}
	eventually("the wedged read is told", func() bool { return p.Latest(faulty).Cause == sensors.TimedOut })
	first := p.Latest(sound).At
	eventually("the other probe goes on", func() bool { return p.Latest(sound).At.After(first) })
	assert.Equal(t, sensors.Good, p.Latest(sound).Cause)

	writer, err := os.OpenFile(pipe, os.O_RDWR, 0)
	require.NoError(t, err)
	answers := pipe + ".new" // every later read finds a plain file
	require.NoError(t, os.WriteFile(answers, []byte(measured(51.6875)), 0o600))
	require.NoError(t, os.Rename(answers, pipe))
	_, err = writer.WriteString(measured(51.6875))
	require.NoError(t, err)
	eventually("the late answer is welcome", func() bool { return p.Latest(faulty).Cause == sensors.Good })
	require.NoError(t, writer.Close())
}

// TestSysfs holds the tree to its contract.
func TestSysfs(t *testing.T) {
	t.Parallel()
	tree, err := onewire.OpenSysfs(copied(t, "good"))
	require.NoError(t, err)
	defer tree.Close()
	const folder = "bus/w1/devices/" + sound

	require.NoError(t, tree.Write(folder+"/features", []byte("1\n")))
	text, err := tree.Read(folder + "/features")
	require.NoError(t, err)
	assert.Equal(t, "1\n", string(text))

	_, err = tree.Read(folder + "/no_such_file")
	require.ErrorIs(t, err, os.ErrNotExist)
	require.ErrorIs(t, tree.Write(folder+"/no_such_file", nil), os.ErrNotExist, "never creates")
	_, err = tree.Read(folder)
	require.ErrorIs(t, err, syscall.EISDIR)
	assert.ErrorContains(t, err, folder)
	_, err = tree.Read("../../outside")
	require.Error(t, err, "confined to its top")

	_, err = onewire.OpenSysfs(filepath.Join(t.TempDir(), "nowhere"))
	assert.ErrorIs(t, err, os.ErrNotExist)
}
