package main

import (
	"fmt"
	"io"
	"net"
	"net/http"
	"regexp"
	"strconv"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/metrics"
)

// A real greenhouse's metrics through the drivers: a probe's figure is what its tree
// says, and when the probe is lost the last believed one stays, grows old and is marked.
func TestMetricsOfABench(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	listen := l.Addr().String()
	require.NoError(t, l.Close())
	s := newSite(t, "good", fmt.Sprintf("[metrics]\nlisten = %q\n", listen))
	p := s.daemon()
	figure := func(name, label string) (v float64, ok bool) {
		answer, err := http.Get("http://" + listen + metrics.Path)
		if err != nil {
			return 0, false
		}
		defer answer.Body.Close()
		text, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		m := regexp.MustCompile(`(?m)^` + name + `\{loop="bench",simulated="false"` + label + `\} (\S+)$`).FindSubmatch(text)
		if m == nil {
			return 0, false
		}
		v, err = strconv.ParseFloat(string(m[1]), 64)
		return v, err == nil
	}
	is := func(want float64, name, label string) func() bool {
		return func() bool { v, ok := figure(name, label); return ok && v == want }
	}
	const tank = `,place="tank"`
	require.Eventually(t, is(51.6875, "duskloop_temperature_celsius", tank), 20*time.Second, 50*time.Millisecond, "as testdata/w1/good says")
	assert.True(t, is(1, "duskloop_temperature_believed", tank)())
	volts, ok := figure("duskloop_battery_volts", "")
	assert.True(t, ok)
	assert.InDelta(t, 12.75, volts, 0.25, "about what the rig's battery says; the pump may draw on it")
	s.probe("crc-fail")
	require.Eventually(t, is(0, "duskloop_temperature_believed", tank), 20*time.Second, 50*time.Millisecond, "a wrong checksum is no reading")
	assert.True(t, is(51.6875, "duskloop_temperature_celsius", tank)(), "the last believed")
	require.Eventually(t, func() bool { v, _ := figure("duskloop_temperature_age_seconds", tank); return v > 2 }, 20*time.Second, 50*time.Millisecond)
	code, _ := p.end(syscall.SIGTERM)
	assert.Zero(t, code)
}
