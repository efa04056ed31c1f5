package main

import (
	"encoding/json"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/internal/payloadtest"
	"duskloop/agent/mqtt"
	"duskloop/agent/wire"
)

// The demo as a newcomer meets it: it prints the line to watch with, decides on
// pump and fans within half a minute, says "simulated" everywhere, obeys both
// ways of command, and ends well.
func TestTheDemo(t *testing.T) {
	t.Parallel()
	s := &site{t: t, dir: t.TempDir()}
	p := s.start("run", "--speed", "120")
	line := regexp.MustCompile(`(?m)^mosquitto_sub -h 127\.0\.0\.1 -p (\d+) -t 'duskloop/#' -v$`)
	var port string
	require.Eventually(t, func() bool {
		if m := line.FindStringSubmatch(p.said()); m != nil {
			port = m[1]
		}
		return port != ""
	}, 10*time.Second, 20*time.Millisecond, "the line to watch with")
	s.heard = mosquittotest.Subscribe(t, "127.0.0.1:"+port, "duskloop/#")
	s.heard.Await("pump and fans on", func(ms []mosquittotest.Message) bool {
		for _, m := range ms {
			var d wire.Decision
			if m.Topic == "duskloop/simulated/bench/decision" && json.Unmarshal([]byte(m.Payload), &d) == nil && d.Pump == 1 && d.Fans == 1 {
				return true
			}
		}
		return false
	})
	order := s.start("hand", "hold", "--for", "1 h", "--simulated")
	require.NoError(t, order.cmd.Wait())
	s.heard.Publish("duskloop/simulated/bench/command", `{"id":"z","set":{"start_difference":"600 K"}}`, false)
	s.heard.Await("refusal", func([]mosquittotest.Message) bool {
		return strings.Contains(strings.Join(s.heard.On("duskloop/simulated/bench/answer"), "\n"), "out of range")
	})
	code, took := p.end(syscall.SIGINT)
	assert.Zero(t, code)
	assert.Less(t, took, 5*time.Second)
	offline := 0
	for _, text := range s.heard.On("duskloop/simulated/presence") {
		offline += strings.Count(text, `"offline"`)
	}
	assert.Equal(t, 1, offline, "said once, and heard")
	j := payloadtest.New(t, mqtt.Document())
	for _, m := range s.heard.Messages() {
		j.Hold(t, m.Topic, m.Payload)
		if strings.HasSuffix(m.Topic, "/command") {
			continue // ours
		}
		assert.True(t, strings.HasPrefix(m.Topic, "duskloop/simulated/"), m.Topic)
		assert.Regexp(t, `"simulated":true|"n":"simulated","vb":true`, m.Payload)
	}
	assert.Equal(t, []string{"forecast"}, j.Unseen(), "every channel was heard of but that which the demo is not given")
	for text := range strings.Lines(p.said()) {
		if !line.MatchString(strings.TrimSpace(text)) {
			assert.Contains(t, text, "simulated")
		}
	}
}
