package main

import (
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/wire"
)

// manager plays the part of the service manager that sd_notify(3) describes: a
// datagram socket named by NOTIFY_SOCKET.
type manager struct {
	t    *testing.T
	conn *net.UnixConn
}

func newManager(t *testing.T, dir string) (*manager, string) {
	t.Helper()
	path := filepath.Join(dir, "notify")
	conn, err := net.ListenUnixgram("unixgram", &net.UnixAddr{Name: path, Net: "unixgram"})
	require.NoError(t, err)
	t.Cleanup(func() { _ = conn.Close() })
	return &manager{t, conn}, path
}

// next is the next notification, or nothing within the time.
func (m *manager) next(within time.Duration) string {
	b := make([]byte, 4096)
	require.NoError(m.t, m.conn.SetReadDeadline(time.Now().Add(within)))
	n, err := m.conn.Read(b)
	if err != nil {
		return ""
	}
	return string(b[:n])
}

// A daemon that stands still stops feeding its watchdog. What the unit then does
// is done here step by step, with the unit's own commands: it is killed, its
// outputs are brought to rest by ExecStopPost, and it is started anew.
func TestStandingStillPastTheWatchdog(t *testing.T) {
	t.Parallel()
	unit := unitFile(t)
	s := newSite(t, "good", "")
	m, path := newManager(t, s.dir)
	s.env = []string{"NOTIFY_SOCKET=" + path, "WATCHDOG_USEC=90000000"}
	p := s.daemon()
	require.Equal(t, "READY=1", m.next(20*time.Second))
	for range 3 {
		require.Equal(t, "WATCHDOG=1", m.next(10*time.Second), "fed once a cycle")
	}
	s.awaitDecision("carrying", func(d wire.Decision) bool { return d.Pump == 1 && d.Fans == 1 })

	require.NoError(t, p.cmd.Process.Signal(syscall.SIGSTOP))
	for m.next(2500*time.Millisecond) != "" { // what was already sent
	}
	require.Empty(t, m.next(4*time.Second), "four periods without a word")
	require.Equal(t, "High", s.lines()[linePump], "the pump runs on: nothing in a stopped process can help")
	p.kill()
	require.Equal(t, "High", s.lines()[linePump], "and a killed one leaves the line as it was")

	post := strings.Fields(strings.TrimPrefix(unit["ExecStopPost"], "/usr/local/bin/duskloop "))
	post[len(post)-1] = filepath.Join(s.dir, "greenhouse.toml")
	rest := s.start(post...)
	require.NoError(t, rest.cmd.Wait())
	assert.Contains(t, rest.said(), "outputs at rest")
	for _, line := range []string{linePump, lineFans, lineContactor, lineBuzzer} {
		assert.Equal(t, "Low", s.lines()[line], line)
	}
	p = s.daemon()
	require.Equal(t, "READY=1", m.next(20*time.Second))
	s.awaitReadings(2)
	code, _ := p.end(syscall.SIGINT)
	assert.Zero(t, code)
	assert.Equal(t, "Low", s.lines()[linePump])
}

// unitFile reads the service unit's keys; where one stands twice the last counts.
func unitFile(t *testing.T) map[string]string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "deploy", "duskloop.service"))
	require.NoError(t, err)
	keys := make(map[string]string)
	for row := range strings.Lines(string(text)) {
		if key, value, ok := strings.Cut(strings.TrimSpace(row), "="); ok && !strings.HasPrefix(key, "#") {
			keys[key] = value
		}
	}
	return keys
}

// The unit names its file, restarts on failure but not on a fault of
// configuration, and is watched for longer than the longest period allows.
func TestUnit(t *testing.T) {
	t.Parallel()
	unit := unitFile(t)
	assert.Equal(t, "/usr/local/bin/duskloop run --greenhouse /etc/duskloop/greenhouse.toml", unit["ExecStart"])
	assert.Contains(t, unit["ExecStopPost"], "duskloop rest")
	assert.Equal(t, "notify", unit["Type"])
	assert.Equal(t, "on-failure", unit["Restart"])
	assert.Equal(t, "duskloop", unit["User"])
	assert.ElementsMatch(t, []string{"64", "78"}, strings.Fields(unit["RestartPreventExitStatus"]))
	watchdog, err := time.ParseDuration(unit["WatchdogSec"] + "s")
	require.NoError(t, err)
	assert.Greater(t, watchdog, time.Minute, "a period may be a minute")
	verify(t)
}

// verify has systemd read the unit, where systemd is; it exits 0 with warnings,
// so its output counts.
func verify(t *testing.T) {
	t.Helper()
	tool, err := exec.LookPath("systemd-analyze")
	if err != nil {
		t.Log("no systemd-analyze here: the unit's syntax was not read by systemd")
		return
	}
	text, err := os.ReadFile(filepath.Join("..", "..", "deploy", "duskloop.service"))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "duskloop.service")
	mended := strings.ReplaceAll(string(text), "/usr/local/bin/duskloop", "/bin/true")
	require.NoError(t, os.WriteFile(path, []byte(mended), 0o644))
	out, err := exec.Command(tool, "verify", path).CombinedOutput()
	require.NoError(t, err, string(out))
	for row := range strings.Lines(string(out)) {
		assert.NotContains(t, row, "duskloop.service", "systemd complains")
	}
}
