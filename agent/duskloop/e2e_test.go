package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/internal/payloadtest"
	"duskloop/agent/mqtt"
	"duskloop/agent/wire"
	"duskloop/control"
)

// buildRig builds the daemon with its test rig once for all tests.
var buildRig = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "duskloop-rig")
	if err != nil {
		return "", err
	}
	path := filepath.Join(dir, "duskloop")
	out, err := exec.Command("go", "build", "-tags", "rig", "-o", path, ".").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("building the rig: %w\n%s", err, out)
	}
	return path, nil
})

func TestMain(m *testing.M) {
	code := m.Run()
	if path, err := buildRig(); err == nil {
		_ = os.RemoveAll(filepath.Dir(path))
	}
	os.Exit(code)
}

// site is a test bench for the built binary: a copy of a recorded tree, a rig
// folder, a greenhouse file and a broker.
type site struct {
	t      *testing.T
	dir    string
	broker *mosquittotest.Server
	heard  *mosquittotest.Collector
	env    []string
	in     io.Reader // what the next process is told; nil: nothing
}

// benchFile is the tests' greenhouse file: tank and tunnel probes only, one
// reading a second.
const benchFile = `
[site]
name = "Alder Hollow test bench"
[daemon]
period = "1 s"
sys_root = %q
[broker]
address = %q
[record]
commit = "5 s"
[loop.bench.tank]
volume = "24 L"
glycerin = "35 %% by weight"
[loop.bench.element]
panel = "420 W"
resistance = "1.15 ohm"
[loop.bench.coil]
conductance = "19 W/K"
[loop.bench.pump]
draw = "7 W"
chip = "rig"
line = 17
[loop.bench.fans]
draw = "5 W"
chip = "rig"
line = 27
[loop.bench.contactor]
chip = "rig"
line = 22
[loop.bench.buzzer]
chip = "rig"
line = 23
[loop.bench.level]
chip = "rig"
line = 24
[loop.bench.crop]
comfortable = "25 °C"
[loop.bench.battery]
chemistry = "agm"
capacity = "34 Ah"
delay = "30 s"
[loop.bench.probes]
tank = "28-00000d05c001"
tunnel = "28-00000d05c002"
%s`

// newSite lays out a bench on the recorded tree of that name.
func newSite(t *testing.T, tree, more string) *site {
	t.Helper()
	s := &site{t: t, dir: t.TempDir(), broker: mosquittotest.Start(t)}
	require.NoError(t, os.CopyFS(filepath.Join(s.dir, "sys"), os.DirFS(filepath.Join("..", "..", "testdata", "w1", tree))))
	require.NoError(t, os.Mkdir(filepath.Join(s.dir, "rig"), 0o755))
	s.write("rig/battery", "12.75 -0.15")
	s.write("rig/draws", "rig/17 0.58\nrig/27 0.42\n")
	s.write("rig/level", "high")
	s.write("greenhouse.toml", fmt.Sprintf(benchFile, filepath.Join(s.dir, "sys"), s.broker.Addr, more))
	s.heard = mosquittotest.Subscribe(t, s.broker.Addr, "duskloop/#")
	t.Cleanup(func() { s.described() })
	return s
}

// described holds everything that was heard, but for our own commands, against the
// interface document.
func (s *site) described() {
	j := payloadtest.New(s.t, mqtt.Document())
	for _, m := range s.heard.Messages() {
		if !strings.HasSuffix(m.Topic, "/command") {
			j.Hold(s.t, m.Topic, m.Payload)
		}
	}
}

// write replaces a file of the bench in one rename, as a reader may be at it.
func (s *site) write(name, text string) {
	s.t.Helper()
	path := filepath.Join(s.dir, name)
	require.NoError(s.t, os.WriteFile(path+".new", []byte(text), 0o644))
	require.NoError(s.t, os.Rename(path+".new", path))
}

// probe makes the tank's probe read what another recorded tree has.
func (s *site) probe(tree string) {
	s.t.Helper()
	name := filepath.Join("devices", "w1_bus_master1", "28-00000d05c001", "w1_slave")
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "w1", tree, name))
	require.NoError(s.t, err)
	s.write(filepath.Join("sys", name), string(text))
}

// process is the daemon while it runs.
type process struct {
	s   *site
	cmd *exec.Cmd
	mu  sync.Mutex
	out bytes.Buffer
}

// Write takes what the daemon says.
func (p *process) Write(b []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.out.Write(b)
}

// said is what the daemon has said so far.
func (p *process) said() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.out.String()
}

// start runs the built binary with its arguments.
func (s *site) start(args ...string) *process {
	s.t.Helper()
	binary, err := buildRig()
	require.NoError(s.t, err)
	p := &process{s: s, cmd: exec.Command(binary, append([]string{"--state", filepath.Join(s.dir, "state")}, args...)...)}
	p.cmd.Env = append(append(os.Environ(), "DUSKLOOP_RIG="+filepath.Join(s.dir, "rig")), s.env...)
	p.cmd.Stdin, p.cmd.Stdout, p.cmd.Stderr = s.in, p, p
	require.NoError(s.t, p.cmd.Start())
	s.t.Cleanup(func() {
		_ = p.cmd.Process.Kill()
		_ = p.cmd.Wait()
		if s.t.Failed() {
			s.t.Logf("daemon said:\n%s", p.said())
		}
	})
	return p
}

// daemon starts the daemon on the bench's greenhouse file.
func (s *site) daemon() *process {
	return s.start("run", "--greenhouse", filepath.Join(s.dir, "greenhouse.toml"))
}

// end sends a signal and returns the exit code and how long it took.
func (p *process) end(sig os.Signal) (int, time.Duration) {
	p.s.t.Helper()
	began := time.Now()
	require.NoError(p.s.t, p.cmd.Process.Signal(sig))
	_ = p.cmd.Wait() // the code is what is asked for
	return p.cmd.ProcessState.ExitCode(), time.Since(began)
}

func (p *process) kill() { p.end(syscall.SIGKILL) }

// lines is the last level of each line, by the number on the rig's chip.
func (s *site) lines() map[string]string {
	text, err := os.ReadFile(filepath.Join(s.dir, "rig", "lines"))
	require.NoError(s.t, err)
	last := make(map[string]string)
	for row := range strings.Lines(string(text)) {
		name, level, _ := strings.Cut(strings.TrimSpace(row), "=")
		last[name] = level
	}
	return last
}

// awaitDecision waits for a decision that has what is wanted.
func (s *site) awaitDecision(what string, want func(wire.Decision) bool) wire.Decision {
	s.t.Helper()
	var found wire.Decision
	s.heard.Await(what, func(ms []mosquittotest.Message) bool {
		for i := len(ms) - 1; i >= 0; i-- {
			if ms[i].Topic == "duskloop/bench/decision" {
				var d decisionSeq
				require.NoError(s.t, json.Unmarshal([]byte(ms[i].Payload), &d))
				found = d.Decision
				return want(d.Decision)
			}
		}
		return false
	})
	return found
}

type decisionSeq struct {
	Seq int64 `json:"seq"`
	wire.Decision
}

// awaitAlert waits until an alert was raised or cleared.
func (s *site) awaitAlert(code control.AlertCode, change control.ChangeKind) wire.Alert {
	s.t.Helper()
	var found wire.Alert
	s.heard.Await(fmt.Sprintf("alert %v %v", code, change), func(ms []mosquittotest.Message) bool {
		for _, m := range ms {
			if m.Topic != "duskloop/bench/alert" {
				continue
			}
			var a wire.Alert
			require.NoError(s.t, json.Unmarshal([]byte(m.Payload), &a))
			if a.Code == code.String() && a.Change == change.String() {
				found = a
				return true
			}
		}
		return false
	})
	return found
}

// awaitReadings waits for n further readings.
func (s *site) awaitReadings(n int) {
	s.t.Helper()
	before := len(s.heard.On("duskloop/bench/readings"))
	s.heard.Await(fmt.Sprintf("%d further readings", n), func([]mosquittotest.Message) bool {
		return len(s.heard.On("duskloop/bench/readings")) >= before+n
	})
}
