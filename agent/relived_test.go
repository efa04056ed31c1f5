package agent

import (
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/control/night"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

// lived is the large plant through cold days by its own decision, with what its mind
// remembers and how each day began.
func livedThrough(t *testing.T, days int) (season.House, *night.Memory, []season.Begun, []season.Relived) {
	t.Helper()
	f, err := config.Load("../testdata/plant-large.toml")
	require.NoError(t, err)
	h, err := House(f, 0, 1)
	require.NoError(t, err)
	start := time.Date(2026, 1, 8, 17, 0, 0, 0, time.UTC)
	s, err := season.New(h, start, func(weather.Sky) weather.Source { return InventedWeather(f, 1) })
	require.NoError(t, err)
	var begun []season.Begun
	var truth []season.Relived
	for range days {
		n := s.Plant().Now()
		begun = append(begun, season.Begun{At: s.Plant().Clock(), Tank: n.Tank, Tunnel: n.Tunnel, Bed: n.Bed, Charge: n.BatteryCharge})
		x := season.Relived{At: n.Time, Coldest: 99}
		used := s.Plant().Meters().BatteryUsed
		for range 24 * 60 {
			s.Step(time.Minute)
			air := s.Plant().Now().Tunnel
			x.Coldest = min(x.Coldest, air)
			below := max(0, 5-float64(air))
			x.Squared += below * below / 60
		}
		x.Used = float64(s.Plant().Meters().BatteryUsed - used)
		truth = append(truth, x)
	}
	return h, s.Mind().Remembers(), begun, truth
}

// Days that were lived by the same house and the same settings are found again: coldest
// air, cold and battery; and a changed threshold changes them.
func TestReliveFindsTheDaysAgain(t *testing.T) {
	t.Parallel()
	h, m, begun, truth := livedThrough(t, 10)
	again, err := season.Relive(h, m, begun[3:], 5, nil)
	require.NoError(t, err)
	require.Len(t, again, 7)
	var was, now, off float64
	for i, x := range again {
		t.Logf("%s: lived %.1f °C, %.0f K²h, %.0f Wh; again %.1f °C, %.0f K²h, %.0f Wh; off %.2f K", x.At.Format("2 Jan"),
			truth[3+i].Coldest, truth[3+i].Squared, truth[3+i].Used, x.Coldest, x.Squared, x.Used, x.Off)
		assert.InDelta(t, float64(truth[3+i].Coldest), float64(x.Coldest), 1.0)
		was, now, off = was+truth[3+i].Squared, now+x.Squared, max(off, x.Off)
	}
	assert.InDelta(t, was, now, 0.15*was+10)
	assert.Less(t, off, 1.0)
	milder := h
	milder.Settings.Crop.Minimum, milder.Night.Minimum = 2, 2
	less, err := season.Relive(milder, m, begun[3:], 5, nil)
	require.NoError(t, err)
	var used, before float64
	for i := range less {
		used, before = used+less[i].Used, before+again[i].Used
	}
	assert.Less(t, used, before, "a crop that stands more cold asks for less heat")
}

// A day of which little is remembered is left out, and the memory is left as it was.
func TestReliveLeavesOutWhatIsNotKnown(t *testing.T) {
	t.Parallel()
	h, m, begun, _ := livedThrough(t, 3)
	early := season.Begun{At: begun[0].At.AddDate(0, 0, -30), Tank: 20, Tunnel: 10, Bed: 10, Charge: 1}
	at := begun[2].At.Unix() / 600
	before, _ := m.Look(at)
	again, err := season.Relive(h, m, []season.Begun{early, begun[1]}, 5, nil)
	require.NoError(t, err)
	require.Len(t, again, 1)
	assert.Equal(t, begun[1].At, again[0].At)
	after, ok := m.Look(at)
	require.True(t, ok)
	assert.InDelta(t, before.House, after.House, 0)
	_, ok = m.Until(begun[2].At).Look(at)
	assert.False(t, ok, "what begins then is not before it")
	gone, asked := errors.New("who asked has gone"), 0
	_, err = season.Relive(h, m, begun[:3], 5, func() error {
		if asked++; asked > 1 {
			return gone
		}
		return nil
	})
	assert.ErrorIs(t, err, gone, "no further day for nobody")
	assert.Equal(t, 2, asked)
	_, ok = m.Until(begun[2].At).Look(at - 1)
	assert.True(t, ok)
}
