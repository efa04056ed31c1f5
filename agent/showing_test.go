package agent

import (
	"context"
	"io"
	"log/slog"
	"net"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/internal/saidtest"
	"duskloop/agent/metrics"
)

// demoDaemon runs the whole daemon on the demo's greenhouse, with metrics at an address,
// until stop returns what it ended with.
func demoDaemon(t *testing.T, listen string) (out, log *saidtest.Text, stop func() error) {
	t.Helper()
	f := config.Demo()
	f.Metrics.Listen, f.Broker.Port = config.Text(listen), 0
	out, log = new(saidtest.Text), new(saidtest.Text)
	ctx, cancel := context.WithCancel(t.Context())
	over := make(chan error, 1)
	go func() {
		over <- Run(ctx, Options{File: f, Simulated: true, Speed: 600, State: t.TempDir(), Log: slog.New(slog.NewTextHandler(log, nil)), Out: out})
	}()
	stop = sync.OnceValue(func() error { cancel(); return <-over })
	t.Cleanup(func() { _ = stop() })
	return out, log, stop
}

// freePort is one that was free a moment ago.
func freePort(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	return l.Addr().String()
}

// figure is a sample's value; ok says whether there is one.
func figure(text, series string) (v float64, ok bool) {
	m := regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(series) + ` (\S+)$`).FindStringSubmatch(text)
	if m == nil {
		return 0, false
	}
	v, err := strconv.ParseFloat(m[1], 64)
	return v, err == nil
}

// TestMetricsOfTheDaemon reads the demo's figures as its simulated night goes on.
func TestMetricsOfTheDaemon(t *testing.T) {
	t.Parallel()
	listen := freePort(t)
	out, _, stop := demoDaemon(t, listen)
	const of = `{loop="bench",simulated="true"`
	var text string
	require.Eventually(t, func() bool {
		answer, err := http.Get("http://" + listen + metrics.Path)
		if err != nil {
			return false
		}
		defer answer.Body.Close()
		body, err := io.ReadAll(answer.Body)
		text = string(body)
		ticks, _ := figure(text, "duskloop_ticks_total"+of+"}")
		sent, _ := figure(text, "duskloop_messages_delivered_total"+of+"}")
		return err == nil && ticks > 20 && sent > 20
	}, 20*time.Second, 20*time.Millisecond, "ticks, and messages sent")
	assert.Contains(t, out.String(), "simulated metrics: http://"+listen+"/metrics\n")
	assert.NotContains(t, text, `simulated="false"`)
	for series, bound := range map[string][2]float64{
		"duskloop_temperature_celsius" + of + `,place="tank"}`:     {20, 90},
		"duskloop_temperature_celsius" + of + `,place="outdoors"}`: {-40, 30},
		"duskloop_temperature_age_seconds" + of + `,place="tank"}`: {0, 60},
		"duskloop_temperature_believed" + of + `,place="tank"}`:    {1, 1},
		"duskloop_battery_volts" + of + `}`:                        {11, 15},
		"duskloop_battery_charge_ratio" + of + `}`:                 {0, 1},
		"duskloop_pump_duty_ratio" + of + `}`:                      {0, 1},
		"duskloop_broker_connected" + of + `}`:                     {1, 1},
		"duskloop_alerts_active" + of + `,severity="emergency"}`:   {0, 0},
		"duskloop_mode" + of + `,duskloop_mode="held"}`:            {0, 0},
		"duskloop_tick_timestamp_seconds" + of + `}`:               {1.7e9, 2e9},
	} {
		v, ok := figure(text, series)
		if assert.True(t, ok, series) {
			assert.GreaterOrEqual(t, v, bound[0], series)
			assert.LessOrEqual(t, v, bound[1], series)
		}
	}
	require.NoError(t, stop())
	_, err := net.DialTimeout("tcp", listen, time.Second)
	assert.Error(t, err, "nobody listens any more")
}

// TestMetricsPortTaken: the daemon says so and goes on deciding.
func TestMetricsPortTaken(t *testing.T) {
	t.Parallel()
	other, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer other.Close()
	out, log, stop := demoDaemon(t, other.Addr().String())
	require.Eventually(t, func() bool { return strings.Contains(log.String(), "msg=decision") }, 20*time.Second, 10*time.Millisecond)
	assert.Contains(t, log.String(), "running without metrics")
	assert.Contains(t, log.String(), "address already in use")
	assert.NotContains(t, out.String(), "metrics:")
	require.NoError(t, stop())
}

// TestMetricsAreOff unless the file names an address.
func TestMetricsAreOff(t *testing.T) {
	t.Parallel()
	assert.EqualValues(t, "none", config.Demo().Metrics.Listen)
	out, log, stop := demoDaemon(t, "none")
	require.Eventually(t, func() bool { return strings.Contains(log.String(), "msg=decision") }, 20*time.Second, 10*time.Millisecond)
	require.NoError(t, stop())
	assert.NotContains(t, out.String()+log.String(), "metrics")
}
