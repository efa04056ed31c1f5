package agent

import (
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"math"
	"time"

	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// stateKey is where a loop's state is kept. Its number changes when the order of the
// alerts does: a state kept under another is not taken up.
const stateKey = "state.3/"

// scribe turns cycles into rows of the record, and remembers what it last
// wrote so that a decision is written when it changes.
type scribe struct {
	loop      string
	simulated bool
	contactor bool
	charger   bool
	orders    []control.Order // given since the last tick
	pending   []record.Event  // what commands left to be recorded with the next tick
	last      control.Decision
	begun     bool
	texts     map[string]string // of the alerts in force
	night     night.Advice      // as last told
	barred    control.Barred    // so too
	toldNight time.Time
}

func (s *scribe) head(at time.Time) wire.Head {
	return wire.Head{Time: at.UTC().Round(time.Millisecond), Loop: s.loop, Simulated: s.simulated}
}

// event marshals a document into an event.
func (s *scribe) event(at time.Time, kind record.Kind, code string, body any) record.Event {
	b, err := json.Marshal(body)
	if err != nil {
		panic(fmt.Sprintf("document of kind %s: %v", kind, err)) // all documents marshal; a programmer's error
	}
	return record.Event{At: at, Loop: s.loop, Simulated: s.simulated, Kind: kind, Code: code, Body: b}
}

func (s *scribe) daemon(at time.Time, what, text string, count int64) record.Event {
	return s.event(at, record.KindDaemon, what, wire.Daemon{Head: s.head(at), What: what, Text: text, Count: count})
}

// write records one cycle.
func (s *scribe) write(r Recorder, at time.Time, in *control.Inputs, st *control.State, d control.Decision, u quantity.Units, log *slog.Logger) {
	events := s.pending
	s.pending = nil
	if !s.begun || !d.Same(s.last) {
		doc := s.decision(at, d, u)
		events = append(events, s.event(at, record.KindDecision, d.Reason.String(), doc))
		log.Info("decision", "mode", d.Mode, "reason", d.Reason, "words", doc.Words)
	}
	events = append(events, s.tonight(at, &d, u)...)
	for _, c := range d.Changes {
		events = append(events, s.alert(at, st, c))
		log.Log(context.Background(), level(c.Severity), "alert", "code", c.Code, "change", c.Kind, "text", c.Text)
	}
	s.last, s.begun = d, true
	r.Keep(stateKey+s.loop, encodeState(st))
	r.Append(s.reading(at, in, st, d), events...)
}

// level is the log level of a severity.
func level(s control.Severity) slog.Level {
	switch {
	case s <= control.Error:
		return slog.LevelError
	case s == control.Warning:
		return slog.LevelWarn
	}
	return slog.LevelInfo
}

func (s *scribe) reading(at time.Time, in *control.Inputs, st *control.State, d control.Decision) *record.Reading {
	x := &record.Reading{At: at, Loop: s.loop, Simulated: s.simulated, Mode: d.Mode, Reason: d.Reason, Outputs: d.Outputs}
	for p := range control.Places {
		t := in.Places[p]
		if t.Ever {
			x.Places[p] = record.Known(float64(t.Value), t.Age)
		}
		if t.Trouble != control.NoTrouble {
			note(x, p.String(), t.Cause)
		}
	}
	if in.Meter.HasVolts {
		x.Volts = record.Known(float64(in.Meter.Volts), in.Meter.Age)
	}
	if in.Meter.HasAmps {
		x.Amps = record.Known(float64(in.Meter.Amps), in.Meter.Age)
	}
	if in.Panel.Cause != "" {
		note(x, "panel", in.Panel.Cause)
	}
	if in.Meter.Cause != "" {
		note(x, "battery", in.Meter.Cause)
	}
	if d.Facts.HeatingOK {
		x.Heating = record.Known(math.Round(float64(d.Facts.Heating)*10)/10, 0)
	}
	if st.Charge.OK {
		x.Charge, x.Band = record.Known(float64(st.Charge.Share), 0), float64(st.Charge.Band)
	}
	return x
}

func note(x *record.Reading, where, cause string) {
	if x.Trouble == nil {
		x.Trouble = make(map[string]string)
	}
	x.Trouble[where] = cause
}

func (s *scribe) decision(at time.Time, d control.Decision, u quantity.Units) wire.Decision {
	f := d.Facts
	doc := wire.Decision{
		Head: s.head(at), Mode: d.Mode, Reason: d.Reason, Words: d.Explain(u),
		Pump: float64(d.Outputs.Pump), Fans: float64(d.Outputs.Fans),
		Contactor: "none", Charger: "none", Buzzer: d.Outputs.Buzzer, WatchOnly: f.Watching,
		TankC: optional(float64(f.Tank), f.TankOK), TunnelC: optional(float64(f.Air), f.AirOK),
		ChargePct: optional(float64(f.Charge)*100, f.ChargeOK), BandPct: optional(float64(f.Band)*100, f.ChargeOK),
	}
	if s.contactor {
		doc.Contactor = map[bool]string{true: "closed", false: "open"}[d.Outputs.Closed]
	}
	if s.charger {
		doc.Charger = map[bool]string{true: "held-off", false: "free"}[d.Outputs.ChargerOff]
	}
	return doc
}

// optional is v rounded to three decimals, or nothing.
func optional(v float64, ok bool) *float64 {
	if !ok {
		return nil
	}
	rounded := float64(int64(v*1000+0.5*sign(v))) / 1000
	return &rounded
}

func sign(v float64) float64 {
	if v < 0 {
		return -1
	}
	return 1
}

func (s *scribe) alert(at time.Time, st *control.State, c control.AlertChange) record.Event {
	if s.texts == nil {
		s.texts = make(map[string]string)
	}
	s.texts[alertKey(c.Code, c.Place)] = c.Text
	return s.event(at, record.KindAlert, c.Code.String(), wire.Alert{
		Head: s.head(at), Code: c.Code.String(), Place: placeWord(c.Place),
		Change: c.Kind.String(), Severity: c.Severity, Text: c.Text, Active: s.active(st),
	})
}

// active lists the alerts in force with the text each was last said with.
func (s *scribe) active(st *control.State) []wire.Active {
	list := []wire.Active{}
	for code, p := range st.Active() {
		list = append(list, wire.Active{Code: code.String(), Place: placeWord(p), Severity: code.Severity(), Text: s.texts[alertKey(code, p)]})
	}
	return list
}

func alertKey(c control.AlertCode, p control.Place) string { return c.String() + "/" + placeWord(p) }

func placeWord(p control.Place) string {
	if p >= control.Places {
		return ""
	}
	return p.String()
}

func encodeState(st *control.State) string {
	b, err := json.Marshal(st)
	if err != nil {
		panic(fmt.Sprintf("state: %v", err)) // plain finite data; a programmer's error
	}
	return string(b)
}

func decodeState(text string) (control.State, error) {
	st := control.NewState() // a field that an older daemon did not know
	err := json.Unmarshal([]byte(text), &st)
	return st, err
}
