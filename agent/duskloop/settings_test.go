package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

// siteWithPast is a bench of real drivers, seldom read, whose record holds days of a simulated
// greenhouse of the same file up to now, as if they had been lived there.
func siteWithPast(t *testing.T, days float64) *site {
	t.Helper()
	s := newSite(t, "good", "greenhouse = \"28-00000d05c003\"\n[page]\nlisten = \"none\"\n")
	wires := filepath.Join(s.dir, "sys", "devices", "w1_bus_master1")
	require.NoError(t, os.CopyFS(filepath.Join(wires, "28-00000d05c003"), os.DirFS(filepath.Join(wires, "28-00000d05c002"))))
	path := filepath.Join(s.dir, "greenhouse.toml")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	s.write("greenhouse.toml", strings.Replace(string(text), `period = "1 s"`, `period = "5 s"`, 1))
	f, err := config.Load(path)
	require.NoError(t, err)
	f.Daemon.Period = quantity.Span(time.Minute)
	r, err := record.Open(filepath.Join(agent.Folder(filepath.Join(s.dir, "state"), false), agent.RecordName), record.DefaultOptions())
	require.NoError(t, err)
	length := time.Duration(days * 24 * float64(time.Hour))
	_, err = agent.Simulate(t.Context(), agent.Trial{
		File: f, Start: time.Now().Add(-length).Truncate(time.Minute), Days: days, Seed: 1, Policy: agent.ByRules,
		Seen: func(x *record.Reading) {
			y := *x
			y.Simulated = false
			r.Append(&y)
		},
	})
	require.NoError(t, err)
	require.NoError(t, r.Close())
	return s
}

// says runs a command against the bench's daemon and returns what it printed, standard error
// included, and its exit code.
func (s *site) says(args ...string) (string, int) {
	s.t.Helper()
	p := s.start(args...)
	_ = p.cmd.Wait() // the code is what is asked for
	return p.said(), p.cmd.ProcessState.ExitCode()
}

// The command line and MQTT give the same figures of the nights that a real daemon has on
// record; the table has them in the grower's units; nothing is changed.
func TestSettingsPreview(t *testing.T) {
	t.Parallel()
	s := siteWithPast(t, 8.5)
	s.daemon()
	s.awaitReadings(1)
	before, _ := s.says("settings")
	require.Contains(t, before, "loop.bench.crop.minimum ")
	var byLine wire.Preview
	require.Eventually(t, func() bool { // its past comes on a goroutine of its own
		text, code := s.says("settings", "--preview", "crop.minimum=9 °C", "crop.comfortable=20 °C", "--json")
		byLine = wire.Preview{}
		return code == 0 && json.Unmarshal([]byte(text), &byLine) == nil && len(byLine.Nights) == 7
	}, time.Minute, 100*time.Millisecond)
	s.heard.Publish("duskloop/bench/command", `{"id":"p","preview":{"crop.minimum":"9 °C","crop.comfortable":"20 °C"}}`, false)
	var byMQTT wire.Answer
	s.heard.Await("its answer", func([]mosquittotest.Message) bool {
		all := s.heard.On("duskloop/bench/answer")
		return len(all) > 0 && json.Unmarshal([]byte(all[len(all)-1]), &byMQTT) == nil && byMQTT.ID == "p"
	})
	require.True(t, byMQTT.Accepted, byMQTT.Reason)
	assert.Equal(t, byLine, *byMQTT.Preview)
	assert.Len(t, byLine.Changes, 2)

	text, code := s.says("settings", "--preview", "crop.minimum=9 °C", "crop.comfortable=20 °C", "--nights", "3")
	t.Log(text)
	require.Zero(t, code, text)
	assert.Contains(t, text, "(nothing is changed yet)")
	assert.Contains(t, text, "In the last 3 nights this would have")
	newest := byLine.Nights[6]
	assert.Regexp(t, `(?m)^ *`+regexp.QuoteMeta(dayOf(newest.Night))+` +`+regexp.QuoteMeta(quantity.Celsius(newest.RecordedC).In(quantity.SI))+` `, text)

	text, code = s.says("settings", "--preview", "crop.minimum=900 °C")
	assert.Equal(t, exitFault, code)
	assert.Contains(t, text, "refused: crop.minimum:")
	after, _ := s.says("settings")
	assert.Equal(t, before, after)
	assert.Empty(t, s.heard.On("duskloop/bench/change"))
}

// What is printed of a preview, in the grower's units.
func TestPreviewIsPrintedInTheGrowersUnits(t *testing.T) {
	t.Parallel()
	off, made := 0.5, time.Date(2026, 1, 20, 9, 0, 0, 0, time.UTC)
	p := &wire.Preview{
		Units: "us", Twin: wire.TwinFitted, FittedOn: &made, OffK: &off, Words: "It would have been warmer.", Tonight: "Tonight, changed: warm.",
		Changes: []wire.SettingChange{{Key: "loop.bench.crop.minimum", From: "43 °F", To: "45 °F"}},
		Nights:  []wire.PreviewNight{{Night: "2026-01-15", RecordedC: 5, AgainC: 5.5, ThenC: 6, AgainK2h: 10, ThenK2h: 1, AgainWh: 80.4, ThenWh: 95}},
		LeftOut: []wire.LeftOut{{Night: "2026-01-14", Why: "too little"}},
	}
	var out strings.Builder
	require.NoError(t, printPreview(&out, p))
	for _, want := range []string{
		"loop.bench.crop.minimum: 43 °F -> 45 °F (nothing is changed yet)", "Thu 15 Jan", "41 °F", "41.9 °F", "42.8 °F", "32 °F²h", "3 °F²h", "80 Wh", "95 Wh",
		"fitted on 20 Jan 2026.", "Left out: Wed 14 Jan: too little.", "Tonight, changed: warm.",
	} {
		assert.Contains(t, strings.Join(strings.Fields(out.String()), " "), want)
	}
}

// reached waits until the daemon answers on its socket.
func (s *site) reached() {
	s.t.Helper()
	require.Eventually(s.t, func() bool {
		_, err := agent.Ask(s.t.Context(), agent.Folder(filepath.Join(s.dir, "state"), false), wire.Command{Show: true})
		return err == nil
	}, 30*time.Second, 20*time.Millisecond)
}

// answered waits for an answer by MQTT that has a text.
func (s *site) answered(text string) {
	s.t.Helper()
	s.heard.Await(text, func([]mosquittotest.Message) bool {
		return strings.Contains(strings.Join(s.heard.On("duskloop/bench/answer"), "\n"), text)
	})
}

// What was changed last, on the command line or by MQTT, is put back through the running
// daemon: said, sent, recorded and kept; refused where nothing was ever changed, and where the
// file was edited since.
func TestSettingsBack(t *testing.T) {
	t.Parallel()
	s := newSite(t, "good", "[page]\nlisten = \"none\"\n")
	p := s.daemon()
	s.awaitReadings(1)
	text, code := s.says("settings", "--back")
	assert.Equal(t, exitFault, code)
	assert.Contains(t, text, "no setting was ever changed while running")

	before, _ := s.says("settings")
	_, code = s.says("settings", "start_difference=9 K", "fan_margin=2 K")
	require.Zero(t, code)
	text, code = s.says("settings", "--back")
	require.Zero(t, code, text)
	assert.Contains(t, text, "put back: loop.bench.carry.fan_margin: 2 K -> 1.5 K\n")
	assert.Contains(t, text, "put back: loop.bench.carry.start_difference: 9 K -> 8 K\n")
	after, _ := s.says("settings")
	assert.Equal(t, before, after)
	assert.Contains(t, s.heard.AwaitOn("duskloop/bench/change", 4), `"who":"command line"`)

	s.heard.Publish("duskloop/bench/command", `{"id":"s","who":"grower","set":{"start_difference":"10 K"}}`, false)
	s.answered(`"id":"s","accepted":true`)
	s.heard.Publish("duskloop/bench/command", `{"id":"b","back":true}`, false)
	s.answered(`"id":"b","accepted":true,"reason":"put back: loop.bench.carry.start_difference from 10 K to 8 K"`) // and on the disk
	p.kill()
	p = s.daemon()
	s.reached()
	text, code = s.says("settings", "--back")
	require.Zero(t, code, text)
	assert.Contains(t, text, "put back: loop.bench.carry.start_difference: 8 K -> 10 K\n", "once more undoes it")

	_, code = s.says("settings", "start_difference=11 K")
	require.Zero(t, code)
	p.kill()
	file, err := os.ReadFile(filepath.Join(s.dir, "greenhouse.toml"))
	require.NoError(t, err)
	s.write("greenhouse.toml", string(file)+"[loop.bench.carry]\nstart_difference = \"12 K\"\n")
	s.daemon()
	s.reached()
	text, code = s.says("settings", "--back")
	assert.Equal(t, exitFault, code)
	assert.Contains(t, text, "loop.bench.carry.start_difference is 12 K by now, and not 11 K as it was last changed to")
}
