package phone

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
)

// Recorder is the record as it is read here.
type Recorder interface {
	EventsAfter(ctx context.Context, seq int64, n int) ([]record.Event, error)
	Ends() (reading, event int64)
	Keep(name, value string)
	Kept(name string) (string, error)
	Watch() (<-chan struct{}, func())
}

// Teller tells alerts. Make it with New and call Run once.
type Teller struct {
	opts Options
	rec  Recorder
	at   place
	sent []time.Time // of the last hour, what was not urgent
}

// place is how far the record has been told; the record keeps it.
type place struct {
	Told int64   `json:"told"` // last event looked at
	Held []int64 `json:"held"` // before it, waiting for the end of the quiet hours or of the hour
}

// keptPlace is the name under which the record keeps the place.
const keptPlace = "phone"

// New prepares a teller. On its first run it begins with what comes, not with the past.
func New(rec Recorder, o Options) (*Teller, error) {
	t := &Teller{opts: o.withDefaults(), rec: rec}
	if err := o.Target.check(); err != nil {
		return nil, err
	}
	text, err := rec.Kept(keptPlace)
	if err != nil {
		return nil, fmt.Errorf("preparing the phone: %w", err)
	}
	_, end := rec.Ends()
	if text == "" {
		t.at.Told = end
		return t, nil
	}
	if err := json.Unmarshal([]byte(text), &t.at); err != nil {
		return nil, fmt.Errorf("preparing the phone: %w", err)
	}
	t.at.Told = min(t.at.Told, end)
	return t, nil
}

// look is how often waiting messages are looked at when nothing happens.
const look = time.Minute

// Run tells until ctx ends. What was not told is told after the next start.
func (t *Teller) Run(ctx context.Context) {
	news, stop := t.rec.Watch()
	defer stop()
	tick := time.NewTicker(look)
	defer tick.Stop()
	for ctx.Err() == nil {
		if err := t.round(ctx); err != nil && ctx.Err() == nil {
			t.opts.Log.Warn("the phone is not told", "error", err)
		}
		select {
		case <-ctx.Done():
		case <-news:
		case <-tick.C:
		}
	}
}

// round looks at what is new, and then at what waits.
func (t *Teller) round(ctx context.Context) error {
	for {
		events, err := t.rec.EventsAfter(ctx, t.at.Told, 100)
		if err != nil {
			return err
		}
		if len(events) == 0 {
			return t.release(ctx)
		}
		for _, e := range events {
			if err := t.take(ctx, e); err != nil {
				return err
			}
			t.at.Told = e.Seq
			t.keep()
		}
	}
}

func (t *Teller) keep() {
	text, err := json.Marshal(t.at)
	if err != nil {
		panic(err) // numbers always marshal
	}
	t.rec.Keep(keptPlace, string(text))
}

// take tells an event, lets it wait, or passes it over.
func (t *Teller) take(ctx context.Context, e record.Event) error {
	a, ok := t.wanted(e)
	switch {
	case !ok:
		return nil
	case a.Severity <= control.Critical:
		return t.tell(ctx, key(e), t.line(a))
	}
	t.at.Held = append(t.at.Held, e.Seq)
	return nil
}

// wanted says whether an event is an alert to be told.
func (t *Teller) wanted(e record.Event) (wire.Alert, bool) {
	var a wire.Alert
	if e.Kind != record.KindAlert || json.Unmarshal(e.Body, &a) != nil {
		return a, false
	}
	change := a.Change == control.Raised.String() || t.opts.Over && a.Change == control.Cleared.String()
	return a, change && a.Severity <= t.opts.From
}

// line is an alert as it is told.
func (t *Teller) line(a wire.Alert) string {
	head := t.opts.Name + ", " + a.Loop + ": "
	if a.Simulated {
		head = "(simulated) " + head
	}
	return head + a.Text
}

func key(e record.Event) string { return fmt.Sprintf("%s-%d-%d", e.Loop, e.At.Unix(), e.Seq) }

// most is how many waiting alerts one message lists.
const most = 12

// release tells what has waited, in one message, once that may be.
func (t *Teller) release(ctx context.Context) error {
	now := t.opts.Now()
	if len(t.at.Held) == 0 || t.opts.Quiet.holds(now) || !t.free(now) {
		return nil
	}
	var lines []string
	last := ""
	for _, seq := range t.at.Held {
		events, err := t.rec.EventsAfter(ctx, seq-1, 1)
		if err != nil {
			return err
		}
		if len(events) == 0 || events[0].Seq != seq {
			continue // tidied away meanwhile
		}
		if a, ok := t.wanted(events[0]); ok {
			lines, last = append(lines, t.line(a)), key(events[0])
		}
	}
	if more := len(lines) - most; more > 0 {
		lines = append(lines[more:], fmt.Sprintf("and %d before these", more))
	}
	if len(lines) > 0 {
		if err := t.tell(ctx, last, strings.Join(lines, "\n\n")); err != nil {
			return err
		}
		t.sent = append(t.sent, now)
	}
	t.at.Held = nil
	t.keep()
	return nil
}

// free says whether another message that is not urgent may go out this hour.
func (t *Teller) free(now time.Time) bool {
	kept := t.sent[:0]
	for _, at := range t.sent {
		if now.Sub(at) < time.Hour && !at.After(now) {
			kept = append(kept, at)
		}
	}
	t.sent = kept
	return len(t.sent) < t.opts.Hourly
}

// tell sends until it is through, refused for good, or ctx ends. A message refused is
// given up, and said in the log.
func (t *Teller) tell(ctx context.Context, key, text string) error {
	for pause := t.opts.First; ; pause = min(2*pause, t.opts.Longest) {
		err := t.try(ctx, key, text)
		switch {
		case err == nil:
			return nil
		case errors.Is(err, errRefused):
			t.opts.Log.Warn("a message to the phone is given up: look at the secret file", "error", err)
			return nil
		}
		t.opts.Log.Warn("the phone is not told yet", "error", err, "again_in", pause)
		timer := time.NewTimer(pause)
		select {
		case <-ctx.Done():
			timer.Stop()
			return context.Cause(ctx)
		case <-timer.C:
		}
	}
}

// lastWord is how long a try that is under way may go on after the end was asked for, so
// that what has arrived is not told again after the next start.
const lastWord = 2 * time.Second

func (t *Teller) try(ctx context.Context, key, text string) error {
	on, cut := context.WithCancel(context.WithoutCancel(ctx))
	defer cut()
	stop := context.AfterFunc(ctx, func() { time.AfterFunc(lastWord, cut) })
	defer stop()
	return t.opts.Target.Send(on, key, text)
}
