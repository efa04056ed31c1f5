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

	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/senml"
	"duskloop/agent/wire"
	"duskloop/control"
)

const (
	linePump, lineFans, lineContactor, lineBuzzer = "rig/17", "rig/27", "rig/22", "rig/23"
)

// One evening on the bench, as an MQTT client and as the relays see it.
func TestBuiltBinaryOnARecordedTree(t *testing.T) {
	t.Parallel()
	s := newSite(t, "good", "")
	p := s.daemon()

	d := s.awaitDecision("carrying with pump and fans", func(d wire.Decision) bool {
		return d.Mode == control.Carrying && d.Pump == 1 && d.Fans == 1
	})
	assert.Equal(t, control.Difference, d.Reason)
	assert.False(t, d.Simulated)
	assert.InDelta(t, 51.6875, *d.TankC, 1e-3)
	assert.Equal(t, "High", s.lines()[linePump])
	assert.Equal(t, "High", s.lines()[lineFans])
	assert.Equal(t, "Low", s.lines()[lineContactor], "not closed before its minimum open time")

	s.probe("real-85")
	a := s.awaitAlert(control.AlertTankHot, control.Raised)
	assert.Equal(t, control.Alarm, a.Severity)
	assert.Contains(t, a.Text, "85 °C")
	s.awaitDecision("shedding with the buzzer on", func(d wire.Decision) bool {
		return d.Mode == control.Shedding && d.Pump == 1 && d.Buzzer && d.Contactor == "open"
	})
	assert.Equal(t, "High", s.lines()[lineBuzzer])

	s.write("rig/level", "low")
	s.awaitAlert(control.AlertLevelLow, control.Raised)
	s.awaitDecision("halted", func(d wire.Decision) bool { return d.Reason == control.LevelIsLow && d.Pump == 0 && d.Fans == 0 })
	assert.Equal(t, "Low", s.lines()[linePump])
	s.write("rig/level", "high")
	s.awaitAlert(control.AlertLevelLow, control.Cleared)

	code, took := p.end(syscall.SIGTERM)
	assert.Zero(t, code)
	assert.Less(t, took, 5*time.Second)
	s.awaitOffline()
	for _, line := range []string{linePump, lineFans, lineContactor, lineBuzzer} {
		assert.Equal(t, "Low", s.lines()[line], line)
	}
}

// Each recorded tree: what the tank's reading says, and what becomes of it.
func TestEveryRecordedTreeAsAClientSeesIt(t *testing.T) {
	t.Parallel()
	rows := []struct {
		tree    string
		tank    float64 // believed; 0 where none is
		trouble string
		alert   control.AlertCode
	}{
		{"good", 51.6875, "", control.AlertTankDanger},
		{"bulk", 51.6875, "", control.AlertTankDanger},
		{"real-85", 85, "", control.AlertTankHot},
		{"real-below-0", -0.0625, "", control.AlertTankDanger},
		{"power-on-85", 0, "power-on value", control.AlertTankUnknown},
		{"low-power", 0, "supply too low", control.AlertTankUnknown},
		{"stuck-low", 0, "line stuck low", control.AlertTankUnknown},
		{"all-ones", 0, "line reads all ones", control.AlertTankUnknown},
		{"minus-127", 0, "line reads all ones", control.AlertTankUnknown},
		{"crc-fail", 0, "checksum wrong", control.AlertTankUnknown},
		{"empty", 0, "empty answer", control.AlertTankUnknown},
		{"missing", 0, "nothing there", control.AlertTankUnknown},
	}
	for _, row := range rows {
		t.Run(row.tree, func(t *testing.T) {
			t.Parallel()
			s := newSite(t, row.tree, "")
			s.daemon()
			got := s.awaitReading(func(m map[string]senml.Record) bool {
				_, tank := m["tank"]
				trouble, bad := m["tank-trouble"]
				_, tunnel := m["tunnel"]
				return tunnel && tank == (row.trouble == "") && bad == (row.trouble != "") &&
					(!bad || *trouble.Text == row.trouble)
			})
			assert.InDelta(t, 18.25, *got["tunnel"].Value, 1e-9, "the other probe is not disturbed")
			if row.trouble == "" {
				assert.InDelta(t, row.tank, *got["tank"].Value, 1e-9)
			}
			if row.alert == control.AlertTankDanger {
				assert.NotContains(t, strings.Join(s.heard.On("duskloop/bench/alert"), "\n"), "tank-", "no alert about the tank")
				return
			}
			s.awaitAlert(row.alert, control.Raised)
			d := s.awaitDecision("buzzer on, contactor open", func(d wire.Decision) bool { return d.Buzzer })
			assert.Equal(t, "open", d.Contactor)
			if row.trouble != "" {
				assert.Zero(t, d.Fans, "an unknown tank counts as cold for the fans")
			}
		})
	}
}

// awaitReading waits for a readings message with what is wanted, by name.
func (s *site) awaitReading(want func(map[string]senml.Record) bool) map[string]senml.Record {
	s.t.Helper()
	var found map[string]senml.Record
	s.heard.Await("reading", func(ms []mosquittotest.Message) bool {
		for i := len(ms) - 1; i >= 0; i-- {
			if ms[i].Topic != "duskloop/bench/readings" {
				continue
			}
			var pack senml.Pack
			require.NoError(s.t, json.Unmarshal([]byte(ms[i].Payload), &pack))
			found = make(map[string]senml.Record)
			for _, r := range pack {
				found[r.Name] = r
			}
			if want(found) {
				return true
			}
		}
		return false
	})
	return found
}

// Cut-off: low for its delay stops all, a dip does not; an alert goes out.
func TestCutOffThroughTheBuiltBinary(t *testing.T) {
	t.Parallel()
	s := newSite(t, "good", "")
	s.daemon()
	s.awaitDecision("carrying", func(d wire.Decision) bool { return d.Mode == control.Carrying && d.Fans == 1 })
	s.write("rig/battery", "11.4 -0.15")
	s.awaitReadings(20)
	assert.Equal(t, "High", s.lines()[linePump], "not before its delay of 30 s")
	s.awaitAlert(control.AlertBatteryCutOff, control.Raised)
	s.awaitDecision("halted below cut-off", func(d wire.Decision) bool {
		return d.Mode == control.Halted && d.Reason == control.BatteryCutOff && d.Pump == 0 && d.Fans == 0
	})
	assert.Equal(t, "Low", s.lines()[linePump])
	assert.Equal(t, "Low", s.lines()[lineFans])
}

// A pump whose wire is off draws nothing: it is stopped within its time, and
// the reason says so.
func TestAPumpThatDrawsNothingIsStopped(t *testing.T) {
	t.Parallel()
	s := newSite(t, "good", "[loop.bench.proof]\nwithin = \"20 s\"\n")
	s.write("rig/draws", "rig/27 0.42\n")
	s.daemon()
	s.awaitDecision("pump on", func(d wire.Decision) bool { return d.Pump == 1 })
	s.awaitDecision("waiting for the next try", func(d wire.Decision) bool { return d.Reason == control.LoopWaits && d.Pump == 0 })
	assert.Equal(t, "Low", s.lines()[linePump])
}

// Commands by message and by command line reach the same rules, and are kept
// over a kill.
func TestCommandsAndRestart(t *testing.T) {
	t.Parallel()
	s := newSite(t, "good", "")
	p := s.daemon()
	s.awaitDecision("carrying", func(d wire.Decision) bool { return d.Mode == control.Carrying })
	s.heard.Publish("duskloop/bench/command", `{"id":"a","set":{"start_difference":"16 °F"}}`, false)
	s.heard.Publish("duskloop/bench/command", `{"id":"b","set":{"start_difference":"2 K"}}`, false)
	s.heard.Publish("duskloop/bench/command", `{"id":"c","hand":"hold","for":"1 h"}`, false)
	s.heard.Await("three answers", func(ms []mosquittotest.Message) bool { return len(s.heard.On("duskloop/bench/answer")) == 3 })
	answers := map[string]wire.Answer{}
	for _, text := range s.heard.On("duskloop/bench/answer") {
		var a wire.Answer
		require.NoError(t, json.Unmarshal([]byte(text), &a))
		answers[a.ID] = a
	}
	assert.True(t, answers["a"].Accepted)
	assert.False(t, answers["b"].Accepted)
	assert.Contains(t, answers["b"].Reason, "not below start_difference")
	assert.True(t, answers["c"].Accepted)
	s.awaitDecision("held", func(d wire.Decision) bool { return d.Mode == control.Held && d.Pump == 0 })
	s.awaitAlert(control.AlertHeld, control.Raised)

	p.kill()
	s.daemon()
	s.heard.Await("held again after the kill", func(ms []mosquittotest.Message) bool {
		kills := 0
		for _, m := range ms {
			if m.Topic == "duskloop/presence" && strings.Contains(m.Payload, "offline") {
				kills++
			}
			if kills > 0 && m.Topic == "duskloop/bench/decision" && strings.Contains(m.Payload, `"held"`) {
				return true
			}
		}
		return false
	})
	out := s.start("settings")
	require.NoError(t, out.cmd.Wait())
	assert.Regexp(t, `carry\.start_difference +8\.9 K`, out.said())
	out = s.start("hand", "end")
	require.NoError(t, out.cmd.Wait())
	s.awaitDecision("carrying again", func(d wire.Decision) bool { return d.Mode != control.Held })
}

// A state folder that cannot be written, as on a card gone read-only: control and
// messages go on, and the alert says that there is no record.
func TestWithoutAStateFolderControlAndMessagesGoOn(t *testing.T) {
	t.Parallel()
	s := newSite(t, "good", "")
	s.write("state", "a file where the folder should be")
	p := s.daemon()
	s.awaitDecision("carrying", func(d wire.Decision) bool { return d.Mode == control.Carrying && d.Pump == 1 })
	assert.Equal(t, "High", s.lines()[linePump])
	s.awaitReadings(20)
	s.awaitReadings(20)
	s.awaitReadings(15) // the alert waits a minute, lest a slow card cries wolf
	a := s.awaitAlert(control.AlertRecordFails, control.Raised)
	assert.Contains(t, a.Text, "goes on without a memory")
	code, _ := p.end(syscall.SIGTERM)
	assert.Equal(t, 0, code)
}

// A greenhouse file that cannot be used: exit 78, outputs of the last good start
// at rest, and no demo in its place.
func TestConfigurationFaults(t *testing.T) {
	t.Parallel()
	s := newSite(t, "good", "")
	p := s.daemon()
	s.awaitDecision("carrying", func(d wire.Decision) bool { return d.Pump == 1 })
	p.kill()
	require.Equal(t, "High", s.lines()[linePump], "a killed process leaves its lines as they were")

	require.NoError(t, os.Remove(filepath.Join(s.dir, "greenhouse.toml")))
	p = s.daemon()
	_ = p.cmd.Wait()
	assert.Equal(t, 78, p.cmd.ProcessState.ExitCode())
	assert.Contains(t, p.said(), "greenhouse.toml")
	assert.Contains(t, p.said(), "brought to rest")
	assert.NotContains(t, p.said(), "simulated")
	assert.Equal(t, "Low", s.lines()[linePump])

	s.write("greenhouse.toml", "[loop.bench.tank]\nvolume = \"5\"\ndepth = 3\n")
	p = s.start("check", "--greenhouse", filepath.Join(s.dir, "greenhouse.toml"))
	_ = p.cmd.Wait()
	assert.Equal(t, 78, p.cmd.ProcessState.ExitCode())
	assert.Contains(t, p.said(), "line 2: loop.bench.tank.volume")
	assert.Contains(t, p.said(), "line 3: loop.bench.tank.depth")

	p = s.start("run", "--greenhouse", "")
	_ = p.cmd.Wait()
	assert.NotZero(t, p.cmd.ProcessState.ExitCode(), "an empty name is not the demo")

	p = s.start("dance")
	_ = p.cmd.Wait()
	assert.Equal(t, 64, p.cmd.ProcessState.ExitCode())
}
