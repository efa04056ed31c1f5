package mqtt

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/record"
	"duskloop/agent/wire"
)

// answering is a line that answers as the loop does: what is asked is recorded,
// and its answer with it; a command that only shows is answered and not
// recorded.
func answering(rec Recorder) Line {
	return Line{Name: bench, Submit: func(_ context.Context, data []byte, who string) (wire.Answer, error) {
		c, err := wire.ParseCommand(data)
		a := wire.Answer{Head: head(0), ID: c.ID, Accepted: err == nil, Reason: "done"}
		var events []record.Event
		switch {
		case err != nil:
			a.Reason = err.Error()
		case c.Show:
			a.Settings = []wire.Setting{{Key: "start_difference", Value: "14 °F"}}
			return a, nil
		case c.Previews():
			a.Preview = wholePreview()
			return a, nil
		case c.Hand != "":
			events = append(events, event(record.KindHand, 0, wire.Change{Head: head(0), Who: who, Hand: &wire.HandChange{Order: c.Hand, ForS: 600}}))
		default:
			s := wire.SettingChange{Key: "start_difference", From: "14 °F", To: c.Set["start_difference"]}
			a.Changes = []wire.SettingChange{s}
			events = append(events, event(record.KindSetting, 0, wire.Change{Head: head(0), Who: who, Setting: &s}))
		}
		rec.Append(nil, append(events, event(record.KindAnswer, 0, a))...)
		return a, nil
	}}
}

func TestCommands(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	c := subscribe(t, broker.Addr, "duskloop/#")
	rec := newRecord(t)
	f := feed(t, rec, options(broker.Addr), answering(rec))
	drained(t, f)
	c.AwaitOn("duskloop/bench/settings", 1)

	rows := []struct {
		name, payload string
		accepted      bool
		reason        string
	}{
		{"a setting", `{"id":"1","set":{"start_difference":"8 K"}}`, true, "done"},
		{"by hand", `{"id":"2","hand":"run-pump","for":"10 min"}`, true, "done"},
		{"show", `{"id":"3","show":true}`, true, "done"},
		{"malformed", `set start_difference`, false, "not JSON"},
		{"oversized", `{"id":"5","set":{"start_difference":"` + strings.Repeat("8", 1<<20) + `"}}`, false, "longer than 4096 bytes"},
		{"field twice", `{"id":"6","hand":"end","hand":"hold"}`, false, "stands twice"},
		{"unknown field", `{"id":"7","dance":true}`, false, "unknown field"},
		{"empty", ``, false, "not JSON"},
	}
	for i, row := range rows { // one after the other: answers come in order
		c.Publish("duskloop/bench/command", row.payload, false)
		var a wire.Answer
		text := c.AwaitOn("duskloop/bench/answer", i+1)
		require.NoError(t, json.Unmarshal([]byte(text), &a), row.name)
		assert.Equal(t, row.accepted, a.Accepted, row.name)
		assert.Contains(t, a.Reason, row.reason, row.name)
		if row.accepted {
			assert.Equal(t, fmt.Sprint(i+1), a.ID, row.name)
		}
	}
	assert.Contains(t, c.AwaitOn("duskloop/bench/change", 1), `"who":"mqtt"`)
	assert.Contains(t, c.AwaitOn("duskloop/bench/change", 2), `"run-pump"`)
	c.AwaitOn("duskloop/bench/settings", 2) // again after the change
	j := newJudge(t)
	for _, m := range c.Messages() {
		if !strings.HasSuffix(m.Topic, "/command") {
			j.Hold(t, m.Topic, m.Payload)
		}
	}
}

// TestRetainedCommand would be obeyed anew at each connection; it is refused.
func TestRetainedCommand(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	c := subscribe(t, broker.Addr, "duskloop/#")
	c.Publish("duskloop/bench/command", `{"id":"9","hand":"run-pump","for":"10 min"}`, true)
	rec := newRecord(t)
	feed(t, rec, options(broker.Addr), answering(rec))
	text := c.AwaitOn("duskloop/bench/answer", 1)
	assert.Contains(t, text, `"id":"9","accepted":false,"reason":"retained commands are not obeyed`)
	assert.Empty(t, c.On("duskloop/bench/change"))
	newJudge(t).Hold(t, "duskloop/bench/answer", text)
}

// TestTooManyCommands fills the queue while the loop is busy: messages still go
// out, those too many are counted, and one the loop does not take is refused.
func TestTooManyCommands(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	c := subscribe(t, broker.Addr, "duskloop/#")
	rec := newRecord(t)
	release, entered := make(chan struct{}), make(chan struct{}, 100)
	line := plainLine()
	line.Submit = func(ctx context.Context, data []byte, who string) (wire.Answer, error) {
		entered <- struct{}{}
		select {
		case <-release:
			return answering(rec).Submit(ctx, data, who)
		case <-ctx.Done():
			return wire.Answer{}, fmt.Errorf("the loop did not take the command: %w", ctx.Err())
		}
	}
	f := feed(t, rec, options(broker.Addr), line)
	drained(t, f)
	for range 1 + waiting + 5 {
		c.Publish("duskloop/bench/command", `{"hand":"end"}`, false)
	}
	<-entered
	require.Eventually(t, func() bool { return f.intake.refused.Load() == 5 }, 10*time.Second, time.Millisecond)
	rec.Append(reading(1), alert(1))
	c.AwaitOn("duskloop/bench/alert", 1)
	close(release)
	c.AwaitOn("duskloop/bench/answer", 1+waiting)
	assert.Contains(t, c.AwaitOn("duskloop/daemon", 1), `"what":"commands-refused","count":5`)
}

// TestPreviewHoldsNothingUp: while a preview is worked out, a command that comes after it is
// obeyed, a second preview is refused, and neither preview's answer is recorded.
func TestPreviewHoldsNothingUp(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	c := subscribe(t, broker.Addr, "duskloop/#")
	rec := newRecord(t)
	release, entered := make(chan struct{}), make(chan struct{})
	line := answering(rec)
	obeys := line.Submit
	line.Submit = func(ctx context.Context, data []byte, who string) (wire.Answer, error) {
		p, err := wire.ParseCommand(data)
		if err != nil || !p.Previews() {
			return obeys(ctx, data, who)
		}
		close(entered)
		<-release
		return wire.Answer{Head: head(0), ID: p.ID, Accepted: true, Reason: "done", Preview: wholePreview()}, nil
	}
	f := feed(t, rec, options(broker.Addr), line)
	drained(t, f)
	c.Publish("duskloop/bench/command", `{"id":"1","preview":{"start_difference":"8 K"}}`, false)
	<-entered
	c.Publish("duskloop/bench/command", `{"id":"2","preview":{"start_difference":"9 K"}}`, false)
	assert.Contains(t, c.AwaitOn("duskloop/bench/answer", 1), `"id":"2","accepted":false,"reason":"another preview is being worked out`)
	c.Publish("duskloop/bench/command", `{"id":"3","hand":"run-pump","for":"10 min"}`, false)
	assert.Contains(t, c.AwaitOn("duskloop/bench/answer", 2), `"id":"3","accepted":true`)
	close(release)
	text := c.AwaitOn("duskloop/bench/answer", 3)
	assert.Contains(t, text, `"id":"1","accepted":true`)
	assert.Contains(t, text, `"then_c"`)
	_, events := rec.Ends()
	assert.EqualValues(t, 2, events, "the order and its answer")
}

// wholePreview has all that a preview can have.
func wholePreview() *wire.Preview {
	x, at := 0.5, head(0).Time
	return &wire.Preview{
		Units: "us", Faults: map[string]string{"carry.start_difference": "out of range"}, Changes: []wire.SettingChange{{Key: "start_difference", From: "14 °F", To: "16 °F"}},
		Twin: wire.TwinFitted, FittedOn: &at, MinimumC: &x, OffK: &x, Tonight: "warm", Words: "no difference",
		Nights:  []wire.PreviewNight{{Night: "2026-01-15", Noon: at, RecordedC: 4, AgainC: 4.5, ThenC: 5, AgainK2h: 9, ThenK2h: 2, AgainWh: 80, ThenWh: 90}},
		LeftOut: []wire.LeftOut{{Night: "2026-01-14", Noon: at, Why: "too little"}},
	}
}

// TestStopWhileBusy stops while the loop holds a command: it is refused, and
// that is still sent.
func TestStopWhileBusy(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	c := subscribe(t, broker.Addr, "duskloop/#")
	rec := newRecord(t)
	entered := make(chan struct{})
	line := plainLine()
	line.Submit = func(ctx context.Context, _ []byte, _ string) (wire.Answer, error) {
		close(entered)
		<-ctx.Done()
		return wire.Answer{}, fmt.Errorf("the loop did not take the command: %w", ctx.Err())
	}
	f := feed(t, rec, options(broker.Addr), line)
	c.AwaitOn("duskloop/bench/settings", 1)
	drained(t, f)
	c.Publish("duskloop/bench/command", `{"id":"x","hand":"end"}`, false)
	<-entered
	require.NoError(t, f.Stop(t.Context()))
	assert.Contains(t, c.AwaitOn("duskloop/bench/answer", 1), `"id":"x","accepted":false,"reason":"the loop did not take`)
	assert.Contains(t, c.AwaitOn("duskloop/presence", 2), `"offline"`)
}
