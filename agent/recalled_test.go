package agent

import (
	"context"
	"math"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// recalling is the large plant's loop for some days, recorded on a disk as a real one's; at
// the end, in the evening, it is begun anew beside, from the record, and both see the same
// few minutes.
func recalling(t *testing.T, days int) (goesOn, anew *tonight, compared []night.Advice) {
	t.Helper()
	f := lumpedFile(t, "large")
	f.Loop().Carry.Spend = config.ByPlan
	f.Daemon.Period = quantity.Span(time.Minute)
	start := time.Date(2026, 1, 2, 17, 20, 0, 0, time.UTC)
	state := plant.Dusk()
	state.Tunnel, state.Bed = 12, 12
	g, err := NewGreenhouse(f, start, state, 4)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), RecordName)
	rec, err := record.Open(path, record.DefaultOptions())
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, rec.Close()) })
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	end := start.AddDate(0, 0, days).Add(10 * time.Hour)
	var l *Loop
	began := make(chan struct{})
	l, err = NewLoop(Setup{
		File: f, Clock: &leapClock{now: start}, Sight: g, Hands: g, Record: rec, Log: quiet(), Trusted: func() bool { return true },
		After: func(c Cycle) {
			switch {
			case c.At.Equal(end):
				anew = begunAnew(t, l, rec, path, c.At)
				close(began)
			case c.At.After(end):
				anew.advise(&c.Inputs)
				d := c.Decision
				anew.see(&l.settings, &c.Inputs, &d, c.At)
				compared = append(compared, l.tonight.mind.Advice(), anew.mind.Advice())
			}
			if c.At.Sub(end) >= 2*time.Hour {
				cancel()
			}
		},
	})
	require.NoError(t, err)
	require.NoError(t, l.Run(ctx))
	<-began
	return l.tonight, anew, compared
}

// begunAnew is the mind of a loop that begins at a time with what the record holds by then.
func begunAnew(t *testing.T, l *Loop, rec *record.Record, path string, at time.Time) *tonight {
	t.Helper()
	require.NoError(t, rec.Flush(t.Context()))
	fresh, err := newTonight(l.File)
	require.NoError(t, err)
	fresh.recall(t.Context(), l.settings, pastOf(path, at), func(err error) { t.Error(err) })
	past := <-fresh.past
	fresh.past <- past
	return fresh
}

// After a restart the mind remembers from the record what it remembered before, but for the
// record's rounding, and advises the same: its learning begins anew from the file, so the
// figures and the story may differ a little, the duty for a step or two.
func TestRestartedMindGoesOn(t *testing.T) {
	t.Parallel()
	days := 9
	if raced {
		days = 3
	}
	goesOn, anew, compared := recalling(t, days)
	same := 0
	now := time.Date(2026, 1, 2, 17, 20, 0, 0, time.UTC).AddDate(0, 0, days).Add(6*time.Hour).Unix() / 600
	for slot := now - int64(days)*144; slot < now; slot++ {
		a, ok1 := goesOn.mind.Look(slot)
		b, ok2 := anew.mind.Look(slot)
		require.Equal(t, ok1, ok2, "slot %d", slot)
		for i, x := range [...]float32{a.Tank, a.Air, a.House, a.Sun, a.Flow, a.Power, a.TankFirst, a.AirFirst} {
			y := [...]float32{b.Tank, b.Air, b.House, b.Sun, b.Flow, b.Power, b.TankFirst, b.AirFirst}[i]
			if math.IsNaN(float64(x)) {
				require.True(t, math.IsNaN(float64(y)))
				continue
			}
			near := 1e-4
			if i == 3 { // the sun is the root of a power that is recorded to 0.1 W, of 300
				near = 0.013
			}
			require.InDelta(t, x, y, near, "slot %d, figure %d", slot, i)
		}
		same++
	}
	assert.Greater(t, same, days*144-2)
	likeBefore(t, goesOn, anew, compared)
}

// likeBefore holds figures and advice of the hours after a restart beside those without.
func likeBefore(t *testing.T, goesOn, anew *tonight, compared []night.Advice) {
	t.Helper()
	before, _ := goesOn.mind.Learned()
	after, _ := anew.mind.Learned()
	require.Len(t, after, len(before))
	for i, l := range before {
		assert.InDelta(t, 1, after[i].Value/l.Value, 0.1, l.Name)
	}
	duty, spent, bare, coldest, n := 0.0, 0.0, 0.0, 0.0, 0.0
	for i := 20; i < len(compared); i += 2 {
		a, b := compared[i], compared[i+1]
		require.Equal(t, night.Planned, a.Way)
		require.Equal(t, a.Way, b.Way)
		assert.Equal(t, a.Cold, b.Cold)
		assert.Equal(t, a.Nights, b.Nights)
		duty, spent, n = duty+math.Abs(a.Duty-b.Duty), spent+a.Duty, n+1
		bare = max(bare, math.Abs(a.Story.Unheated-b.Story.Unheated))
		coldest = math.Abs(a.Story.Coldest - b.Story.Coldest) // at the end: where the plan has several nights alike, it takes an hour or two to settle
	}
	t.Logf("%v minutes: mean difference of the duty %.3f of %.3f, of the coldest without heat at most %.2f K, in the end with it %.2f K", n, duty/n, spent/n, bare, coldest)
	assert.Less(t, duty/n, 0.1)
	assert.Positive(t, spent, "heat is spent in these hours")
	assert.Less(t, bare, 0.3)
	assert.Less(t, coldest, 0.3)
	assert.True(t, compared[len(compared)-1].Cold, "a night that needs heat")
}
