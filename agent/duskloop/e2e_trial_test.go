package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
)

// A run followed from the demo's daemon through its socket, the tank standing held off in a
// winter night and no heater on it: what comes back is the tank's loss in the greenhouse
// file, and no power.
func TestFollowingTheDemo(t *testing.T) {
	t.Parallel()
	s := &site{t: t, dir: t.TempDir()}
	demo := s.start("run", "--speed", "3000")
	require.Eventually(t, func() bool { return strings.Contains(demo.said(), "mosquitto_sub") }, 10*time.Second, 20*time.Millisecond)
	held := s.start("hand", "hold", "--for", "24 h", "--simulated")
	require.NoError(t, held.cmd.Wait())
	heard, say, err := os.Pipe()
	require.NoError(t, err)
	defer say.Close()
	s.in = heard
	path := filepath.Join(s.dir, "night.csv")
	run := s.start("trial", "follow", path, "--simulated", "--every", "20 ms", "--volume", "6.3 gal", "--glycerin", "0.35")
	for _, at := range []struct {
		rows int
		word string
	}{{150, "heat"}, {300, "stop"}} {
		require.Eventually(t, func() bool {
			text, _ := os.ReadFile(path) // not there yet
			return strings.Count(string(text), "\n") > at.rows
		}, 60*time.Second, 20*time.Millisecond, at.word)
		_, err := fmt.Fprintln(say, at.word)
		require.NoError(t, err)
	}
	require.NoError(t, run.cmd.Wait())
	code, _ := demo.end(syscall.SIGINT)
	assert.Zero(t, code)
	assert.Contains(t, run.said(), "W into the liquid")
	assert.Contains(t, run.said(), "simulated liquid at tank")
	x := jsonOf(t, "trial", path, "--volume", "6.3 gal", "--glycerin", "0.35", "--json")["runs"].([]any)[0].(map[string]any)
	assert.Equal(t, "night (simulated)", x["run"])
	t.Logf("%.2f ± %.2f W, %.4f ± %.4f W/K", x["power_w"], x["power_error_w"], x["loss_w_k"], x["loss_error_w_k"])
	assert.InEpsilon(t, float64(config.Demo().Loop().Tank.Loss), x["loss_w_k"], 0.03)
	assert.Less(t, math.Abs(x["power_w"].(float64)), 1.0)
}
