//go:build !race

package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/agent/fitted"
	"duskloop/agent/record"
	"duskloop/control"
)

// done runs a command to its end and returns what it said.
func (s *site) done(args ...string) string {
	s.t.Helper()
	p := s.start(args...)
	require.NoError(s.t, p.cmd.Wait(), p.said())
	return p.said()
}

// lived is how much of the demo's record there is, and whether pump and fans have run a forced
// test in it.
func (s *site) lived() (long time.Duration, tested int) {
	r, err := record.OpenReadOnly(filepath.Join(agent.Folder(filepath.Join(s.dir, "state"), true), agent.RecordName))
	if err != nil {
		return 0, 0
	}
	defer r.Close()
	x, ok, err := r.Extent(s.t.Context(), time.Unix(0, 0), time.Now().AddDate(50, 0, 0))
	if err != nil || !ok {
		return 0, 0
	}
	_ = r.Each(s.t.Context(), x.Last.Add(-40*time.Hour), x.Last, func(y record.Reading) error {
		if y.Reason == control.TestByHand && y.Outputs.Pump > 0 {
			tested++
		}
		return nil
	})
	return x.Last.Sub(x.First), tested
}

// waitFor simulated days.
func (s *site) waitFor(long time.Duration) {
	s.t.Helper()
	require.Eventually(s.t, func() bool { x, _ := s.lived(); return x >= long }, 4*time.Minute, time.Second)
}

// The whole way as a grower goes it, against the running daemon of the demo: a simulated week,
// fit, experiment, fit, tune, preview, apply, back.
func TestTheWholeWay(t *testing.T) {
	t.Parallel()
	s := &site{t: t, dir: t.TempDir()}
	demo := s.start("run", "--speed", "8000")
	s.waitFor(5 * 24 * time.Hour)

	first := s.done("fit", "--simulated", "--nights", "7")
	assert.Contains(t, first, "Verdict:")
	assert.Contains(t, first, "tank loss")

	assert.Contains(t, s.done("fit", "--experiment", "--simulated"), "30 min")
	require.Eventually(t, func() bool { _, n := s.lived(); return n > 120 }, 3*time.Minute, time.Second, "pump and fans ran the test")
	begun, _ := s.lived()
	s.waitFor(begun + 14*time.Hour)

	path := filepath.Join(s.dir, "fitted.toml")
	second := s.done("fit", "--simulated", "--nights", "9", "--write", path)
	g, err := fitted.Load(path)
	require.NoError(t, err, second)
	assert.Less(t, g.TunnelOff, 1.0)
	assert.Less(t, g.TankOff, 1.5)
	for _, f := range g.Figures {
		if f.Name == "tank loss" {
			assert.True(t, f.Told)
			assert.InEpsilon(t, float64(config.Demo().Loop().Tank.Loss), f.Value, 0.1)
		}
	}

	// The demo's file, with the fit, and a setting that is known to be bad, in the daemon too.
	s.done("settings", "--simulated", "battery.reserve=80 %")
	text := strings.Replace(config.Example(), `# fitted = ""`, `fitted = "fitted.toml"`, 1)
	text = strings.Replace(text, `# reserve = "50 %"`, `reserve = "80 %"`, 1)
	s.write("greenhouse.toml", text)
	file := filepath.Join(s.dir, "greenhouse.toml")
	tune := []string{"tune", "--greenhouse", file, "--sets", "32", "--invented", "0", "--draws", "1", "--resume", filepath.Join(s.dir, "flights")}
	told := s.done(append(tune, "--json")...)
	var found struct {
		Verdict string            `json:"verdict"`
		Changes map[string]string `json:"changes"`
	}
	require.NoError(t, json.Unmarshal([]byte(told[strings.Index(told, "{"):]), &found), told)
	require.NotEmpty(t, found.Changes, found.Verdict)
	t.Logf("tuned: %v", found.Changes)

	var wanted []string
	for key, value := range found.Changes {
		wanted = append(wanted, key+"="+value)
	}
	before := s.done("settings", "--simulated")
	seen := s.done(append([]string{"settings", "--simulated", "--preview"}, wanted...)...)
	assert.Contains(t, seen, "changed", "%s", seen)
	assert.Equal(t, before, s.done("settings", "--simulated"), "a preview changes nothing")

	applied := s.done(append(tune, "--apply", "--simulated")...)
	assert.Contains(t, applied, "Applied:")
	after := s.done("settings", "--simulated")
	assert.NotEqual(t, before, after)
	s.done("settings", "--simulated", "--back")
	assert.Equal(t, before, s.done("settings", "--simulated"), "as it was")
	_, err = os.Stat(filepath.Join(s.dir, "flights"))
	require.NoError(t, err)
	code, _ := demo.end(syscall.SIGINT)
	assert.Zero(t, code)
}
