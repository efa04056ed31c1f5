package agent

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/sim/plant"
)

// stillClock stands at a time until it is moved; waiting ends with the context.
type stillClock struct{ now time.Time }

func (c *stillClock) Now() time.Time { return c.now }

func (c *stillClock) WaitUntil(ctx context.Context, t time.Time) error {
	if !t.After(c.now) {
		return ctx.Err()
	}
	<-ctx.Done()
	return ctx.Err()
}

// standing runs a loop on the demo's greenhouse that ticks only for commands,
// until stop returns; then its record may be looked at.
func standing(t *testing.T, file *config.File, m *memory) (l *Loop, stop func()) {
	t.Helper()
	g, err := NewGreenhouse(file, winterDusk, plant.Dusk(), 1)
	require.NoError(t, err)
	l, err = NewLoop(Setup{
		File: file, Clock: &stillClock{winterDusk}, Sight: g, Hands: g, Record: m,
		Log: quiet(), Simulated: true, Trusted: func() bool { return true },
	})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { defer close(done); _ = l.Run(ctx) }()
	stop = func() { cancel(); <-done }
	t.Cleanup(stop)
	return l, stop
}

func submitted(t *testing.T, l *Loop, text string) wire.Answer {
	t.Helper()
	a, err := l.Submit(t.Context(), []byte(text), "test")
	require.NoError(t, err)
	return a
}

// count of events of a kind.
func (m *memory) count(k record.Kind) int {
	n := 0
	for _, e := range m.events {
		if e.Kind == k {
			n++
		}
	}
	return n
}

func TestCommandsAreCheckedAnsweredAndRecorded(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name, text string
		accepted   bool
		reason     string
		kind       record.Kind // recorded beside the answer
	}{
		{"setting", `{"id":"x","set":{"start_difference":"16 °F"}}`, true, "from 14 °F to 16 °F", record.KindSetting},
		{"setting out of range", `{"set":{"start_difference":"600 K"}}`, false, "out of range", ""},
		{"setting that contradicts", `{"set":{"start_difference":"2 K"}}`, false, "not below start_difference", ""},
		{"setting of the file only", `{"set":{"tank.volume":"9 L"}}`, false, "in the greenhouse file only", ""},
		{"by hand", `{"hand":"hold","for":"1 h"}`, true, "hold for 1 h", record.KindHand},
		{"malformed", `{"hand":`, false, "not JSON", ""},
		{"not known", `{"do":"it"}`, false, "unknown field", ""},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			m := newMemory()
			l, stop := standing(t, config.Demo(), m)
			a := submitted(t, l, row.text)
			assert.Equal(t, row.accepted, a.Accepted)
			assert.Contains(t, a.Reason, row.reason)
			stop()
			assert.Equal(t, 1, m.count(record.KindAnswer), "every answer is recorded")
			if row.kind != "" {
				assert.Equal(t, 1, m.count(row.kind))
			}
		})
	}
}

// A hand order is in the stored state before it is answered.
func TestAnOrderIsKeptBeforeItIsAnswered(t *testing.T) {
	t.Parallel()
	m := newMemory()
	l, stop := standing(t, config.Demo(), m)
	require.True(t, submitted(t, l, `{"hand":"watch","for":"7 days"}`).Accepted)
	stop()
	st, err := decodeState(m.kept[stateKey+"bench"])
	require.NoError(t, err)
	assert.Equal(t, 7*24*time.Hour, st.Hand.Watch)

	again, err := NewLoop(Setup{File: config.Demo(), Clock: &stillClock{winterDusk}, Record: m, Log: quiet(), Simulated: true, Down: time.Hour, DownKnown: true})
	require.NoError(t, err)
	assert.Equal(t, 7*24*time.Hour-time.Hour, again.state.Hand.Watch, "it goes on running out while the daemon is away")
}

// A change by command outlives a restart, until the grower edits that key in
// the file: then the file is the newer word.
func TestAChangeStandsUntilTheFileIsEdited(t *testing.T) {
	t.Parallel()
	m := newMemory()
	l, stop := standing(t, config.Demo(), m)
	require.True(t, submitted(t, l, `{"set":{"start_difference":"18 °F","fan_margin":"2 K"}}`).Accepted)
	stop()

	reopened := func(f *config.File) *Loop {
		l, err := NewLoop(Setup{File: f, Clock: &stillClock{winterDusk}, Record: m, Log: quiet()})
		require.NoError(t, err)
		return l
	}
	l = reopened(config.Demo())
	assert.InDelta(t, 10, float64(l.settings.Carry.Start), 1e-9)
	assert.InDelta(t, 2, float64(l.settings.Carry.FanMargin), 1e-9)

	edited, _, err := config.Demo().With(map[string]string{"start_difference": "12 K"})
	require.NoError(t, err)
	l = reopened(edited)
	assert.InDelta(t, 12, float64(l.settings.Carry.Start), 1e-9, "the edited key")
	assert.InDelta(t, 2, float64(l.settings.Carry.FanMargin), 1e-9, "the other stands")
}

// An order stands in the record before its effect, in one append.
func TestCauseStandsBeforeEffect(t *testing.T) {
	t.Parallel()
	m := newMemory()
	l, stop := standing(t, config.Demo(), m)
	require.True(t, submitted(t, l, `{"hand":"hold","for":"1 h"}`).Accepted)
	stop()
	var order []record.Kind
	held := false
	for _, e := range m.events {
		if e.Kind == record.KindHand {
			order = append(order, e.Kind)
		}
		if e.Kind == record.KindDecision && e.Code == control.HoldByHand.String() && !held {
			held = true
			order = append(order, e.Kind)
		}
	}
	assert.Equal(t, []record.Kind{record.KindHand, record.KindDecision}, order)
}

// Settings that cannot be read leave the file's in force rather than no loop.
func TestBrokenSettingsLeaveTheFile(t *testing.T) {
	t.Parallel()
	m := newMemory()
	m.kept["settings/bench"] = "{"
	l, err := NewLoop(Setup{File: config.Demo(), Clock: &stillClock{winterDusk}, Record: m, Log: quiet()})
	require.NoError(t, err)
	assert.InDelta(t, 14*5.0/9, float64(l.settings.Carry.Start), 1e-9)
}

// A state that cannot be read starts anew rather than not at all.
func TestABrokenStateStartsAnew(t *testing.T) {
	t.Parallel()
	m := newMemory()
	m.kept[stateKey+"bench"] = "{"
	l, err := NewLoop(Setup{File: config.Demo(), Clock: &stillClock{winterDusk}, Record: m, Log: quiet()})
	require.NoError(t, err)
	assert.Equal(t, control.NewState(), l.state)
}

// A forced test is answered by how things stand: what bars it, and that it was asked for before.
func TestForcedTestIsAnswered(t *testing.T) {
	t.Parallel()
	l, _ := standing(t, config.Demo(), newMemory())
	test := `{"hand":"test","for":"36 h"}`
	first := submitted(t, l, test)
	require.True(t, first.Accepted)
	assert.Contains(t, first.Reason, "test for 36 h; it ends by itself. It begins in the dark, once the tank is 21.6 °F over the tunnel.")
	assert.Contains(t, first.Reason, "duskloop hand end")
	assert.NotContains(t, first.Reason, "already")
	assert.Contains(t, submitted(t, l, test).Reason, "One was asked for already and waits")
	for order, says := range map[string]string{"hold": "held off by hand until", "watch": "watch only until"} {
		require.True(t, submitted(t, l, `{"hand":"end"}`).Accepted)
		require.True(t, submitted(t, l, `{"hand":"`+order+`","for":"2 h"}`).Accepted)
		a := submitted(t, l, test)
		assert.Contains(t, a.Reason, "Nothing can run now: "+says)
		assert.NotContains(t, a.Reason, "already")
	}
}
