package agent

import (
	"context"
	"log/slog"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sim/plant"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

// TestSeasonDecidesLikeTheDaemon runs a day through the daemon's loop and the same day
// through sim/season: every decision must be the same.
func TestSeasonDecidesLikeTheDaemon(t *testing.T) {
	t.Parallel()
	const seed, length = 3, 24 * time.Hour
	f := config.Demo()
	var daemon []control.Decision
	g, err := NewGreenhouse(f, winterDusk, plant.Dusk(), seed)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	l, err := NewLoop(Setup{
		File: f, Clock: &leapClock{now: winterDusk}, Sight: g, Hands: g,
		Log: slog.New(slog.DiscardHandler), Simulated: true, Trusted: func() bool { return true },
		After: func(c Cycle) {
			daemon = append(daemon, c.Decision)
			if c.At.Sub(winterDusk) >= length {
				cancel()
			}
		},
	})
	require.NoError(t, err)
	require.NoError(t, l.Run(ctx))

	settings, err := f.Settings()
	require.NoError(t, err)
	mind, plans, err := Planner(f)
	require.NoError(t, err)
	require.True(t, plans, "and plans like it")
	s, err := season.New(season.House{
		Plant: plantParams(f), Start: plant.Dusk(), Probes: plant.Typical(seed), Settings: settings, Night: mind,
	}, winterDusk, func(weather.Sky) weather.Source { return InventedWeather(f, seed) })
	require.NoError(t, err)
	period := f.Daemon.Period.Duration()
	moves := 0
	for i, want := range daemon {
		dt := period
		if i == 0 {
			dt = 0 // the daemon decides at once
		}
		got := s.Step(dt)
		require.Equal(t, want.Outputs, got.Outputs, "step %d", i)
		require.Equal(t, want.Mode, got.Mode, "step %d", i)
		require.Equal(t, want.Reason, got.Reason, "step %d", i)
		if i > 0 && want.Outputs != daemon[i-1].Outputs {
			moves++
		}
	}
	assert.Len(t, daemon, int(length/period)+1)
	assert.Greater(t, moves, 6, "a day on which something happens")
	assert.Equal(t, g.plant.Meters(), s.Plant().Meters(), "and the greenhouses end alike")
}
