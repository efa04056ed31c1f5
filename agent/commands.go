package agent

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"strings"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/season"
)

// request is a command on its way to the loop's goroutine.
type request struct {
	command wire.Command
	problem error // why its form is wrong, if it is
	answer  chan wire.Answer

	// forecast, with where to say how it was taken, stands in place of a command.
	forecast *night.Forecast
	taken    chan error

	// look, if set, asks for what the loop remembers, in place of a command.
	look chan remembered
}

// remembered is what a loop knows of its nights, and by which settings it goes now.
type remembered struct {
	file   *config.File
	memory *night.Memory // nil where nobody plans
	twin   night.Twin

	recalling bool // the record of earlier nights is on its way to the memory
	learned   bool // the twin differs from what the mind began with
	at        time.Time
	simulated bool
	standing  season.Begun // how the last tick found it
	stands    bool         // that is known
}

// Remembers asks the loop between two ticks. The error is the context's.
func (l *Loop) Remembers(ctx context.Context) (remembered, error) {
	r := request{look: make(chan remembered, 1)}
	select {
	case l.requests <- r:
	case <-ctx.Done():
		return remembered{}, ctx.Err()
	}
	select {
	case x := <-r.look:
		return x, nil
	case <-ctx.Done():
		return remembered{}, ctx.Err()
	}
}

// remembers is the answer.
func (l *Loop) remembers() remembered {
	x := remembered{file: l.File, at: l.seen.at, simulated: l.Simulated}
	x.standing, x.stands = l.seen.stands()
	if m := l.tonight.mind; m != nil {
		x.memory, x.twin, x.recalling = m.Remembers(), m.Twin(), l.tonight.past != nil
		figures, _ := m.Learned()
		x.learned = figures != nil
	}
	return x
}

// Submit hands a command, as it came in, to the loop and waits for its answer.
// who names the way it came, unless the command says more. A command of the
// wrong form is refused by the loop too, so that every refusal is recorded. The
// error is the context's.
func (l *Loop) Submit(ctx context.Context, data []byte, who string) (wire.Answer, error) {
	r := request{answer: make(chan wire.Answer, 1)}
	r.command, r.problem = wire.ParseCommand(data)
	if r.command.Who == "" {
		r.command.Who = who
	}
	if r.problem == nil && r.command.Previews() {
		return l.preview(ctx, r.command), nil
	}
	select {
	case l.requests <- r:
	case <-ctx.Done():
		return wire.Answer{}, fmt.Errorf("the loop did not take the command: %w", ctx.Err())
	}
	a := <-r.answer
	if r.command.Asks() && r.problem == nil {
		return a, nil
	}
	if a.Accepted {
		l.settle(ctx, &a)
	}
	code := map[bool]string{true: "accepted", false: "refused"}[a.Accepted]
	l.Record.Append(nil, l.scribe.event(a.Time, record.KindAnswer, code, a))
	return a, nil
}

// settleWithin is how long an answer waits for the disk, off the loop's goroutine.
const settleWithin = 2 * time.Second

// settle lets an accepted command reach the disk before it is answered: an order
// that was answered outlives a power cut in the next moment. Where the disk cannot
// take it the command still stands, until a restart, and the answer says so.
func (l *Loop) settle(ctx context.Context, a *wire.Answer) {
	ctx, cancel := context.WithTimeout(ctx, settleWithin)
	defer cancel()
	if err := l.Record.Flush(ctx); err != nil {
		a.Reason += "; in force, but the record could not be written: a restart would forget it"
	}
}

// attend obeys a command and acts on it at once. What is recorded of it goes into
// the tick's own append, cause before effect, so that no commit holds an order's
// effect without the order.
func (l *Loop) attend(r request) wire.Answer {
	a, events := l.obey(r)
	l.scribe.pending = append(l.scribe.pending, events...)
	if a.Accepted && !r.command.Asks() {
		l.tick(l.Clock.Now())
	}
	return a
}

// obey carries a command out and returns what is to be recorded of it.
func (l *Loop) obey(r request) (wire.Answer, []record.Event) {
	now, c, who := l.Clock.Now(), r.command, r.command.Who
	a := wire.Answer{Head: l.scribe.head(now), ID: c.ID}
	var events []record.Event
	err := r.problem
	switch {
	case err != nil:
	case c.Show:
		a.Reason, a.Settings, a.Spend = "settings in force", l.shown(), l.File.Loop().Carry.Spend.String()
	case c.Readings:
		a.Reason = "readings of the last cycle"
		a.Readings, err = l.reported()
	case c.Hand != "":
		a.Reason, events, err = l.byHand(now, who, c)
	case c.Back:
		a.Changes, events, err = l.back(now, who)
		a.Reason = "put back: " + changesText(a.Changes)
	default:
		a.Changes, events, err = l.set(now, who, c.Set)
		a.Reason = changesText(a.Changes)
	}
	a.Accepted = err == nil
	if err != nil {
		a.Reason = flat(err).Error()
	}
	if !c.Asks() || err != nil && !c.Readings {
		l.Log.Info("command", "who", who, "accepted", a.Accepted, "reason", a.Reason)
	}
	return a, events
}

func (l *Loop) byHand(now time.Time, who string, c wire.Command) (string, []record.Event, error) {
	o, err := c.Order()
	if err != nil {
		return "", nil, err
	}
	l.scribe.orders = append(l.scribe.orders, o)
	doc := wire.Change{Head: l.scribe.head(now), Who: who, Hand: &wire.HandChange{Order: o.Kind.String(), ForS: o.For.Seconds()}}
	text := o.Kind.String()
	if o.For > 0 {
		text += " for " + quantity.Span(o.For).String() + "; it ends by itself"
	}
	if o.Kind == control.ForceTest {
		text += ". " + l.testWords(o.For, now)
	}
	return text, []record.Event{l.scribe.event(now, record.KindHand, o.Kind.String(), doc)}, nil
}

// testWords say what becomes of a forced test, as the last tick found things.
func (l *Loop) testWords(long time.Duration, now time.Time) string {
	return l.settings.TestWords(&control.TestAsked{
		For: long, Before: l.state.Hand, Barred: l.seen.barred, Night: &l.seen.inputs.Tonight, At: now, Zone: l.tonight.zone,
	})
}

// set changes settings for the next tick and keeps them over a restart.
func (l *Loop) set(now time.Time, who string, wanted map[string]string) ([]wire.SettingChange, []record.Event, error) {
	next, changes, err := l.File.With(wanted)
	if err != nil {
		return nil, nil, err
	}
	return l.adopt(now, who, next, changes)
}

// adopt takes changed settings into force, and keeps and records them.
func (l *Loop) adopt(now time.Time, who string, next *config.File, changes []config.Change) ([]wire.SettingChange, []record.Event, error) {
	settings, err := next.Settings()
	if err != nil {
		return nil, nil, err
	}
	if err := l.tonight.wish(next); err != nil {
		return nil, nil, err
	}
	l.File, l.settings = next, settings
	var (
		docs   []wire.SettingChange
		events []record.Event
	)
	for _, c := range changes {
		d := wire.SettingChange{Key: c.Key, From: c.From, To: c.To}
		docs = append(docs, d)
		events = append(events, l.scribe.event(now, record.KindSetting, c.Key,
			wire.Change{Head: l.scribe.head(now), Who: who, Setting: &d}))
	}
	l.keepLast(changes)
	l.keepSettings(changes)
	return docs, events, nil
}

// flat is an error on one line, because a document is one line.
func flat(err error) error { return errors.New(strings.ReplaceAll(err.Error(), "\n", "; ")) }

func changesText(changes []wire.SettingChange) string {
	parts := make([]string, len(changes))
	for i, c := range changes {
		parts[i] = fmt.Sprintf("%s from %s to %s", c.Key, c.From, c.To)
	}
	return strings.Join(parts, "; ")
}

func (l *Loop) shown() []wire.Setting {
	var list []wire.Setting
	for _, c := range l.File.Live(l.File.Site.Units) {
		list = append(list, wire.Setting{Key: c.Key, Value: c.To})
	}
	return list
}

// override is one setting changed while running: the file's value then, and
// the value in force since.
type override struct{ File, Now string }

// keepSettings stores the changes, each with what the file says, in the words
// they were asked for in. One that goes back to the file's value is forgotten.
func (l *Loop) keepSettings(changes []config.Change) {
	file, now := live(l.base), live(l.File)
	for _, c := range changes {
		if now[c.Key] == file[c.Key] {
			delete(l.overrides, c.Key)
			continue
		}
		l.overrides[c.Key] = override{File: file[c.Key], Now: c.Wrote}
	}
	b, err := json.Marshal(l.overrides)
	if err != nil {
		panic(err) // a map of strings always marshals
	}
	l.Record.Keep("settings/"+l.name, string(b))
}

// restoreSettings takes up changes made before the restart. A change stands
// until the grower edits that key in the file itself; then the file's word is
// the newer one. Changes that cannot be read are given up, and said: a damaged
// record must not keep the pump from running.
func (l *Loop) restoreSettings() {
	kept, err := l.keptSettings()
	if err != nil {
		l.Log.Error("settings changed earlier cannot be read; the greenhouse file stands", "error", err)
		return
	}
	wanted := make(map[string]string)
	file := live(l.base)
	maps.DeleteFunc(kept, func(key string, o override) bool { return file[key] != o.File })
	for key, o := range kept {
		wanted[key] = o.Now
	}
	if len(wanted) == 0 {
		return
	}
	next, _, err := l.File.With(wanted)
	if err != nil {
		l.Log.Warn("settings changed earlier no longer fit the greenhouse file; the file stands", "error", flat(err))
		return
	}
	l.File, l.overrides = next, kept
}

// keptSettings reads what keepSettings stored; nothing where nothing was.
func (l *Loop) keptSettings() (map[string]override, error) {
	text, err := l.Record.Kept("settings/" + l.name)
	if err != nil || text == "" {
		return nil, err
	}
	var kept map[string]override
	err = json.Unmarshal([]byte(text), &kept)
	return kept, err
}

func live(f *config.File) map[string]string {
	values := make(map[string]string)
	for _, c := range f.Live(quantity.SI) {
		values[c.Key] = c.To
	}
	return values
}
