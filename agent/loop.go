package agent

import (
	"context"
	"log/slog"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/sensors"
)

// Look is the latest attempt at everything, however old.
type Look struct {
	Probes [control.Places]sensors.Reading
	Power  sensors.Power
	Level  control.Level
}

// Sight shows the greenhouse. Look never waits for hardware.
type Sight interface {
	Look(now time.Time) Look
}

// Hands switch things. Rest brings every output to its inert state and may be
// called at any time, more than once.
type Hands interface {
	Apply(control.Outputs) error
	Rest() error
}

// Clock is the loop's time: real, or a simulated greenhouse's own.
type Clock interface {
	Now() time.Time
	// WaitUntil returns at t, or earlier with the context's error.
	WaitUntil(ctx context.Context, t time.Time) error
}

// Recorder is what the loop needs of the record.
type Recorder interface {
	Append(*record.Reading, ...record.Event)
	Keep(name, value string)
	Kept(name string) (string, error)
	Err() error
	// Flush waits until the events appended so far, and what was kept before
	// them, are on the disk.
	Flush(context.Context) error
}

// Setup is everything a loop is made of.
type Setup struct {
	File      *config.File
	Clock     Clock
	Sight     Sight
	Hands     Hands
	Record    Recorder // nil: nothing is kept, and no command is taken
	Log       *slog.Logger
	Simulated bool
	// Trusted says whether wall time has been set since boot.
	Trusted func() bool
	// BrokerFails says whether messages cannot be sent; nil where none are.
	BrokerFails func() bool
	// Down is how long the daemon was away, and whether that is known.
	Down      time.Duration
	DownKnown bool
	// Past reads the record of earlier runs; nil where there is none.
	Past Past
	// Previews works out what changes would have done; nil where nobody can.
	Previews *previews
	// After is called at the end of each cycle, on the loop's goroutine.
	After func(Cycle)
}

// Cycle is one tick as it went.
type Cycle struct {
	At       time.Time
	Look     Look
	Inputs   control.Inputs
	State    *control.State // valid during the call only
	Decision control.Decision
	Complete bool // read, decided, applied and recorded without fault
}

// Loop is one tank's loop. Make it with NewLoop and call Run once.
type Loop struct {
	Setup
	name      string
	base      *config.File // as read, without changes made while running
	settings  control.Settings
	state     control.State
	beliefs   *beliefs
	scribe    scribe
	requests  chan request
	overrides map[string]override // settings changed while running
	latest    []changed           // by the last change of settings
	tonight   *tonight
	last      time.Time
	seen      seen // by the last tick
	applied   control.Outputs
	failed    bool // the last Apply failed
}

// NewLoop prepares a loop: settings changed earlier and the state are taken
// from the record.
func NewLoop(s Setup) (*Loop, error) {
	l := &Loop{Setup: s, name: s.File.Loop().Name, base: s.File, requests: make(chan request), overrides: make(map[string]override)}
	l.scribe = scribe{loop: l.name, simulated: s.Simulated, contactor: s.File.Loop().Contactor.Fitted(), charger: s.File.Loop().Charger.Fitted()}
	l.restore()
	var err error
	if l.settings, err = l.File.Settings(); err != nil {
		return nil, err
	}
	if l.tonight, err = newTonight(l.File); err != nil {
		return nil, err
	}
	if l.resumeStanding(); l.Simulated {
		l.tonight.zone = SunZone(l.File)
	}
	l.beliefs = newBeliefs(s.File)
	return l, nil
}

// Run ticks until ctx ends. On every way out, a panic included, the outputs are
// brought to rest.
func (l *Loop) Run(ctx context.Context) error {
	rested := false
	defer func() {
		if !rested { // a panic is on its way
			_ = l.rest()
		}
	}()
	l.last = l.Clock.Now()
	recalling, forget := context.WithCancel(ctx)
	defer forget()
	l.tonight.recall(recalling, l.settings, l.Past, func(err error) {
		l.Log.Error("the record of earlier nights cannot be read; the plan begins without it", "error", err)
	})
	l.tell("started", "started")
	next := l.last
	for {
		if err := l.await(ctx, next); err != nil {
			rested = true
			if err := l.rest(); err != nil {
				l.tell("stopped", "stopped; outputs NOT at rest: "+err.Error())
				return err
			}
			l.tell("stopped", "stopped; outputs at rest")
			return nil
		}
		now := l.Clock.Now()
		l.tick(now)
		next = l.following(next, now)
	}
}

// following is the next tick: a period on, skipping those already missed.
func (l *Loop) following(planned, now time.Time) time.Time {
	period := l.File.Daemon.Period.Duration()
	next := planned.Add(period)
	if !next.After(now) {
		next = now.Add(period)
	}
	return next
}

// await waits for the next tick and answers commands meanwhile. A loop that
// takes none waits without the machinery for them: a season has two million
// ticks.
func (l *Loop) await(ctx context.Context, until time.Time) error {
	if l.Record == nil {
		return l.Clock.WaitUntil(ctx, until)
	}
	waiting, cancel := context.WithCancel(ctx)
	defer cancel()
	due := make(chan error, 1)
	go func() { due <- l.Clock.WaitUntil(waiting, until) }()
	for {
		select {
		case err := <-due:
			return err
		case r := <-l.requests:
			if r.look != nil {
				r.look <- l.remembers()
				continue
			}
			if r.forecast != nil {
				r.taken <- l.tonight.mind.Hear(*r.forecast)
				continue
			}
			r.answer <- l.attend(r)
		}
	}
}

// tick is one cycle: look, decide, act, record.
func (l *Loop) tick(now time.Time) {
	look := l.Sight.Look(now)
	in := l.beliefs.inputs(look, now)
	in.Elapsed, l.last = now.Sub(l.last), now
	in.Orders, l.scribe.orders = l.scribe.orders, nil
	in.ClockTrusted = l.Trusted()
	in.RecordFails = l.Record != nil && l.Record.Err() != nil
	in.BrokerFails = l.BrokerFails != nil && l.BrokerFails()

	l.tonight.advise(&in)

	var d control.Decision
	l.state, d = control.Step(&l.settings, l.state, in)
	l.seen = seen{now, in, d.Facts.Charge, d.Facts.ChargeOK, d.Facts.Barred}
	l.apply(d.Outputs, now)
	l.tonight.see(&l.settings, &in, &d, now)
	l.keepStanding()
	if l.Record != nil {
		l.scribe.write(l.Record, now, &in, &l.state, d, l.settings.Units, l.Log)
	}
	if l.After != nil {
		l.After(Cycle{At: now, Look: look, Inputs: in, State: &l.state, Decision: d,
			Complete: !l.failed && !in.RecordFails && l.sound(&in)})
	}
}

// sound says that every probe and the meter were read without fault.
func (l *Loop) sound(in *control.Inputs) bool {
	for p := range control.Places {
		if l.settings.Fitted.Places[p] && in.Places[p].Trouble != control.NoTrouble {
			return false
		}
	}
	return in.Meter.Cause == ""
}

// apply switches, and excuses the pipe probes' jumps after the pump changed.
func (l *Loop) apply(o control.Outputs, now time.Time) {
	if (o.Pump > 0) != (l.applied.Pump > 0) {
		l.beliefs.excuse(now)
	}
	err := l.Hands.Apply(o)
	if err != nil && !l.failed {
		l.Log.Error("switching outputs", "error", err)
	}
	l.failed, l.applied = err != nil, o
}

// rest brings the outputs to rest and logs where that fails.
func (l *Loop) rest() error {
	err := l.Hands.Rest()
	if err != nil {
		l.Log.Error("outputs not at rest", "error", err)
	}
	return err
}

// tell records something about the daemon itself.
func (l *Loop) tell(what, text string) {
	if l.Record != nil {
		l.Record.Append(nil, l.scribe.daemon(l.Clock.Now(), what, text, 0))
	}
}

// restore takes up settings changed and the state left by the last run. What
// cannot be read starts anew, and is said.
func (l *Loop) restore() {
	l.state = control.NewState()
	if l.Record == nil {
		return
	}
	l.restoreSettings()
	l.restoreLast()
	text, err := l.Record.Kept(stateKey + l.name)
	if err == nil && text == "" {
		return
	}
	var old control.State
	if err == nil {
		old, err = decodeState(text)
	}
	if err != nil {
		l.Log.Error("state of the last run cannot be read; starting anew, without orders by hand", "error", err)
		return
	}
	old = old.Restarted(l.Down, l.DownKnown)
	if l.Simulated { // the simulated plant starts anew; only the grower's wishes last
		l.state.Hand = old.Hand
		return
	}
	l.state = old
}
