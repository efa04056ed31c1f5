package mqtt

import (
	"context"
	"log/slog"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/internal/saidtest"
	"duskloop/agent/wire"
)

// hearing is a line that takes forecasts as the loop does, and keeps them.
func hearing(rec Recorder) (Line, chan wire.Forecast) {
	line, heard := answering(rec), make(chan wire.Forecast, 100)
	line.Foretell = func(_ context.Context, data []byte) error {
		f, err := wire.ParseForecast(data)
		if err == nil {
			heard <- f
		}
		return err
	}
	return line, heard
}

const (
	forecast    = `{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":[2.5,1.9]}`
	forecastOn  = "duskloop/bench/forecast"
	notForecast = `{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":[2.5,1900]}`
)

func heardNext(t *testing.T, heard chan wire.Forecast) wire.Forecast {
	t.Helper()
	select {
	case f := <-heard:
		return f
	case <-time.After(20 * time.Second):
		require.Fail(t, "no forecast came")
		return wire.Forecast{}
	}
}

// TestForecastsReachTheLoop has a retained forecast and one that comes later taken, bad
// ones passed over and logged once, and messages go on.
func TestForecastsReachTheLoop(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	c := subscribe(t, broker.Addr, "duskloop/#")
	c.Publish(forecastOn, forecast, true)
	c.AwaitOn(forecastOn, 1)
	rec := newRecord(t)
	o, log := options(broker.Addr), new(saidtest.Text)
	o.Log = slog.New(slog.NewTextHandler(log, nil))
	line, heard := hearing(rec)
	f := feed(t, rec, o, line)
	assert.Equal(t, []float64{2.5, 1.9}, heardNext(t, heard).AirC)

	refused := func(n int) func() bool { return func() bool { return log.Count("forecast not taken") == n } }
	c.Publish(forecastOn, notForecast, false)
	require.Eventually(t, refused(1), 20*time.Second, time.Millisecond)
	for _, bad := range []string{notForecast, "", "warm", strings.Repeat("9", 1<<20), `{"air_c":[1e999]}`} {
		c.Publish(forecastOn, bad, false)
	}
	c.Publish(forecastOn, strings.Replace(forecast, "2.5", "-7", 1), false)
	assert.Equal(t, []float64{-7, 1.9}, heardNext(t, heard).AirC)
	require.Eventually(t, func() bool { return log.Count("forecasts are taken again") == 1 }, 20*time.Second, time.Millisecond)
	assert.True(t, refused(1)(), "said once")
	assert.Equal(t, 1, log.Count("value 2 of air_c is 1900"), "with its reason")

	rec.Append(reading(1), alert(1))
	c.AwaitOn("duskloop/bench/alert", 1)
	drained(t, f)
	assert.Empty(t, c.On("duskloop/bench/answer"), "a forecast is no command")
}

// TestForecastsCrowdNoCommandOut sends more than wait while the loop is busy: the newest
// forecast is taken, and the command.
func TestForecastsCrowdNoCommandOut(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	c := subscribe(t, broker.Addr, "duskloop/#")
	rec := newRecord(t)
	line, heard := hearing(rec)
	take, release, entered := line.Foretell, make(chan struct{}), make(chan struct{}, 100)
	line.Foretell = func(ctx context.Context, data []byte) error {
		entered <- struct{}{}
		<-release
		return take(ctx, data)
	}
	drained(t, feed(t, rec, options(broker.Addr), line))
	c.AwaitOn("duskloop/bench/settings", 1)
	c.Publish(forecastOn, forecast, false)
	<-entered
	for _, air := range []string{"3", "4", "5", "6"} {
		c.Publish(forecastOn, strings.Replace(forecast, "2.5", air, 1), false)
	}
	c.AwaitOn(forecastOn, 5)
	c.Publish("duskloop/bench/command", `{"id":"1","hand":"end"}`, false)
	c.AwaitOn("duskloop/bench/command", 1)
	close(release)
	assert.Contains(t, c.AwaitOn("duskloop/bench/answer", 1), `"accepted":true`)
	heardNext(t, heard)
	require.Eventually(t, func() bool { return len(heard) > 0 && heardNext(t, heard).AirC[0] == 6 }, 20*time.Second, time.Millisecond)
}

// TestForecasterMaySwitchNothing holds the access list against a program that brings
// forecasts.
func TestForecasterMaySwitchNothing(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t, mosquittotest.WithUser("duskloop", "coltsfoot"), mosquittotest.WithUser("forecaster", "yarrow"),
		mosquittotest.WithUser("visitor", "dock"), mosquittotest.WithAccess(accessList(t)))
	login := func(user, password string) mosquittotest.Login {
		return mosquittotest.Login{User: user, Password: password}
	}
	daemon := subscribe(t, broker.Addr, "duskloop/#", login("duskloop", "coltsfoot"))
	mosquittotest.Attempt(t, broker.Addr, login("visitor", "dock"), forecastOn, "the visitor's")
	mosquittotest.Attempt(t, broker.Addr, login("forecaster", "yarrow"), "duskloop/bench/command", "the forecaster's")
	mosquittotest.Attempt(t, broker.Addr, login("forecaster", "yarrow"), forecastOn, "the forecaster's")
	assert.Equal(t, "the forecaster's", daemon.AwaitOn(forecastOn, 1))
	assert.Empty(t, daemon.On("duskloop/bench/command"))
}
