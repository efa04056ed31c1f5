package mqtt

import (
	"context"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/record"
	"duskloop/agent/wire"
)

// drained waits until the broker has acknowledged all that the record holds.
func drained(t *testing.T, f *Feed) {
	t.Helper()
	require.Eventually(t, func() bool { return f.Err() == nil && f.cursors.left(f.rec) == 0 }, time.Minute, time.Millisecond)
}

// sent drops the trailing part of each retained topic into a set.
func sent(messages []mosquittotest.Message) map[string]string {
	byTopic := make(map[string]string)
	for _, m := range messages {
		byTopic[strings.TrimPrefix(m.Topic, "duskloop/")] = m.Payload
	}
	return byTopic
}

var retained = []string{"presence", "bench/readings", "bench/decision", "bench/alerts", "bench/settings"}

// late subscribes and returns what the broker had kept, each held against its
// description.
func late(t *testing.T, addr string) map[string]string {
	t.Helper()
	everything := func(m []mosquittotest.Message) bool { return len(sent(m)) >= len(retained) }
	subscribe(t, addr, "duskloop/#").Await("all of it, if only now", everything)
	c := subscribe(t, addr, "duskloop/#")
	c.Await("what is retained", everything)
	j := newJudge(t)
	for _, m := range c.Messages() {
		require.True(t, m.Retained, m.Topic)
		j.Hold(t, m.Topic, m.Payload)
	}
	return sent(c.Messages())
}

// TestLateSubscriber shows what someone who comes late is told: by the broker,
// by a broker that forgot everything, and after a restart of the daemon too.
func TestLateSubscriber(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	rec := newRecord(t)
	rec.Append(reading(1), decision(1), alert(1), daemonEvent(1))
	rec.Append(reading(2), decision(2), alert(2))
	f := feed(t, rec, options(broker.Addr))
	drained(t, f)
	check := func(when string) {
		got := late(t, broker.Addr)
		assert.Len(t, got, len(retained), when)
		assert.Contains(t, got["presence"], `"online"`, when)
		assert.Equal(t, dusk.Add(20*time.Second), timeOf(t, got["bench/readings"]), when)
		assert.Contains(t, got["bench/decision"], `"time":"2026-01-15T17:00:20Z"`, when)
		assert.Contains(t, got["bench/alerts"], "tank hot 2", when)
		assert.Contains(t, got["bench/settings"], `{"key":"start_difference","value":"14 °F"}`, when)
	}
	check("first run")

	forgetful := mosquittotest.Start(t)
	require.NoError(t, f.Stop(t.Context()))
	assert.Contains(t, late(t, broker.Addr)["presence"], `"offline"`)
	again := feed(t, rec, options(forgetful.Addr))
	drained(t, again)
	broker = forgetful
	check("second run, a broker that knows nothing")

	broker.Kill()
	require.Eventually(t, func() bool { return again.Err() != nil }, 5*time.Second, time.Millisecond)
	broker.Restart()
	drained(t, again)
	check("the broker lost its store")
}

// TestWill kills the publishing process: the broker says offline for it.
func TestWill(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	c := subscribe(t, broker.Addr, "duskloop/presence")
	p := publish(t, filepath.Join(t.TempDir(), "record.db"), broker.Addr, 0)
	assert.Contains(t, c.AwaitOn("duskloop/presence", 1), `"online"`)
	p.kill(t)
	assert.Contains(t, c.AwaitOn("duskloop/presence", 2), `"offline"`)
	newJudge(t).Hold(t, "duskloop/presence", c.Messages()[1].Payload)
}

func TestPassword(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t, mosquittotest.WithUser("grower", "basil and thyme"))
	c := subscribe(t, broker.Addr, "duskloop/#", mosquittotest.Login{User: "grower", Password: "basil and thyme"})

	o := options(broker.Addr)
	o.User, o.Password, o.Grace = "grower", "parsley", 20*time.Millisecond
	wrong := feed(t, newRecord(t), o)
	require.Eventually(t, wrong.Failing, 10*time.Second, time.Millisecond)
	require.Eventually(t, func() bool { return wrong.Err() != nil && strings.Contains(wrong.Err().Error(), "not Authorized") }, 10*time.Second, time.Millisecond)
	assert.Empty(t, c.Messages())

	o.Password = "basil and thyme"
	right := feed(t, newRecord(t), o)
	assert.Contains(t, c.AwaitOn("duskloop/presence", 1), `"online"`)
	require.Eventually(t, func() bool { return !right.Failing() && right.Err() == nil }, 10*time.Second, time.Millisecond)
}

func TestNoBroker(t *testing.T) {
	t.Parallel()
	o := options("127.0.0.1:1") // nothing listens on port 1 of the loopback
	o.Grace = time.Hour
	patient := feed(t, newRecord(t), o)
	assert.False(t, patient.Failing(), "not at once")
	require.Error(t, patient.Err(), "but it says why")
	o.Grace = 30 * time.Millisecond
	rec := newRecord(t)
	rec.Append(reading(1), alert(1))
	f := feed(t, rec, o)
	require.Eventually(t, f.Failing, 10*time.Second, time.Millisecond)
	require.ErrorIs(t, f.Stop(t.Context()), errLeft)
	require.NoError(t, f.Stop(t.Context()), "a second time does nothing")
}

// TestBacklog appends more than may wait: the oldest are passed over and
// counted, in the record and to subscribers.
func TestBacklog(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	c := subscribe(t, broker.Addr, "duskloop/#")
	rec := newRecord(t)
	for i := range 150 {
		rec.Append(reading(i))
	}
	for i := range 30 {
		rec.Append(nil, alert(i))
	}
	o := options(broker.Addr)
	o.Backlog, o.Events = 100, 20
	f := feed(t, rec, o)
	drained(t, f)
	c.Await("the last reading", func([]mosquittotest.Message) bool { return len(c.On("duskloop/bench/readings")) >= 100 })

	_, times := arrivals(t, c, "alert")
	require.Len(t, times, 100)
	assert.Equal(t, reading(50).At, times[0], "the oldest 50 are passed over")
	assert.Equal(t, reading(149).At, times[99])
	var notes []string
	c.Await("both counts", func([]mosquittotest.Message) bool { notes = c.On("duskloop/daemon"); return len(notes) == 2 })
	assert.Contains(t, notes[0], `"what":"events-dropped","count":10`)
	assert.Contains(t, notes[1], `"what":"readings-dropped","count":50`)
	events, err := rec.EventsAfter(t.Context(), 0, 100)
	require.NoError(t, err)
	assert.Equal(t, "readings-dropped", events[len(events)-1].Code, "recorded too")
	j := newJudge(t)
	for _, m := range c.Messages() {
		j.Hold(t, m.Topic, m.Payload)
	}
	t.Logf("150 readings and 30 events appended, bounds 100 and 20: %d readings came, dropped 50 and 10 as counted", len(times))
}

// TestCursorSurvives shows that what was acknowledged is not sent again after a
// restart in good order.
func TestCursorSurvives(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	path := filepath.Join(t.TempDir(), "record.db")
	rec, err := record.Open(path, record.DefaultOptions())
	require.NoError(t, err)
	rec.Append(reading(1), alert(1))
	require.Eventually(t, func() bool { return rec.Committed() == 1 }, 10*time.Second, time.Millisecond)
	f, err := New(rec, options(broker.Addr))
	require.NoError(t, err)
	id := f.opts.ClientID
	require.NoError(t, f.Start(plainLine()))
	drained(t, f)
	require.NoError(t, f.Stop(t.Context()))
	require.NoError(t, rec.Close())

	c := subscribe(t, broker.Addr, "duskloop/#")
	rec = openRecord(t, path)
	rec.Append(reading(2), alert(2))
	f = feed(t, rec, options(broker.Addr))
	assert.Equal(t, id, f.opts.ClientID, "the same client, so that the broker ends a dead connection of it first")
	drained(t, f)
	c.Await("the new reading", func([]mosquittotest.Message) bool { return len(c.On("duskloop/bench/alert")) > 0 })
	assert.Len(t, c.On("duskloop/bench/alert"), 1, "the old alert does not come again")
}

func TestHeartbeat(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	c := subscribe(t, broker.Addr, "duskloop/#")
	f, err := New(newRecord(t), options(broker.Addr))
	require.NoError(t, err)
	f.Beat(wire.Heartbeat{Head: head(1), Cycle: 1}) // there is no connection: never sent
	require.NoError(t, f.Start(plainLine()))
	t.Cleanup(func() { assert.NoError(t, f.Stop(context.Background())) })
	drained(t, f)
	f.Beat(wire.Heartbeat{Head: head(2), Cycle: 2})
	got := c.AwaitOn("duskloop/heartbeat", 1)
	assert.JSONEq(t, `{"time":"2026-01-15T17:00:20Z","loop":"bench","simulated":true,"cycle":2}`, got)
	newJudge(t).Hold(t, "duskloop/heartbeat", got)
}

func TestBeatKeepsTheLatest(t *testing.T) {
	t.Parallel()
	f, err := New(newRecord(t), options("127.0.0.1:1"))
	require.NoError(t, err)
	for i := range 5 {
		f.Beat(wire.Heartbeat{Cycle: int64(i)})
	}
	require.Len(t, f.beat, 1)
	assert.Equal(t, int64(4), (<-f.beat).Cycle)
}

func TestOptionsRefused(t *testing.T) {
	t.Parallel()
	rec := newRecord(t)
	_, err := New(rec, Options{})
	require.ErrorContains(t, err, "no broker address")
	_, err = New(rec, Options{Address: "127.0.0.1:1", Prefix: "dusk/#"})
	require.ErrorContains(t, err, "part of a topic")
	f, err := New(rec, Options{Address: "127.0.0.1:1"})
	require.NoError(t, err)
	for _, name := range []string{"", "a/b", "+", "a#"} {
		assert.ErrorContains(t, f.Start(Line{Name: name}), "part of a topic", name)
	}
}

// TestStopAmidABacklog breaks off at the deadline, says offline all the same,
// and goes on with the rest after the next start.
func TestStopAmidABacklog(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	c := subscribe(t, broker.Addr, "duskloop/#")
	rec := newRecord(t)
	const n = 5000
	for i := range n {
		rec.Append(reading(i))
	}
	f := feed(t, rec, options(broker.Addr))
	c.AwaitOn("duskloop/bench/readings", 1)
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Millisecond)
	defer cancel()
	require.ErrorIs(t, f.Stop(ctx), errLeft)
	assert.Contains(t, c.AwaitOn("duskloop/presence", 2), `"offline"`)
	first := len(c.On("duskloop/bench/readings"))
	assert.Less(t, first, n)

	began := time.Now()
	drained(t, feed(t, rec, options(broker.Addr)))
	took := time.Since(began)
	var distinct []time.Time
	var repeats int
	c.Await("the last reading", func([]mosquittotest.Message) bool {
		all := c.On("duskloop/bench/readings")
		return strings.Contains(all[len(all)-1], `"bt":1768546390`) // reading 4999
	})
	_, times := arrivals(t, c, "alert")
	distinct, repeats = firsts(times)
	assert.Len(t, distinct, n)
	t.Logf("stopped after %d of %d readings; the rest took %v (%d repeats)", first, n, took.Round(time.Millisecond), repeats)
}
