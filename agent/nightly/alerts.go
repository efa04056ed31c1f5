package nightly

import (
	"encoding/json"
	"slices"
	"time"

	"duskloop/agent/record"
	"duskloop/agent/wire"
)

// alerts are those in force as the night goes on.
type alerts struct {
	force  []wire.Active // now
	coming []change      // that are yet to come
	list   []Alert       // in the order in which they were first in force
}

// change is what is in force from a time on.
type change struct {
	at    time.Time
	force []wire.Active
}

// Alerts takes what was last said of alerts before the night, nil where nothing was, and
// what was in it, in order. It is called before any reading.
func (s *Sum) Alerts(before *record.Event, within []record.Event) {
	if c, ok := changed(before); ok {
		s.alerts.force = c.force
	}
	for i := range within {
		if c, ok := changed(&within[i]); ok && within[i].Kind == record.KindAlert {
			s.alerts.coming = append(s.alerts.coming, c)
		}
	}
}

// changed reads an event.
func changed(e *record.Event) (change, bool) {
	var a wire.Alert
	if e == nil || json.Unmarshal(e.Body, &a) != nil {
		return change{}, false
	}
	return change{e.At, a.Active}, true
}

// hold counts a recorded stretch for what is in force in it.
func (a *alerts) hold(from, until time.Time) {
	for len(a.coming) > 0 && !a.coming[0].at.After(from) {
		a.next()
	}
	for len(a.coming) > 0 && a.coming[0].at.Before(until) {
		a.lasts(a.coming[0].at.Sub(from))
		from = a.coming[0].at
		a.next()
	}
	a.lasts(until.Sub(from))
}

// next lets the next change come. One that is over before a reading was, is listed too.
func (a *alerts) next() {
	a.force, a.coming = a.coming[0].force, a.coming[1:]
	a.lasts(0)
}

// lasts counts what is in force for so long.
func (a *alerts) lasts(d time.Duration) {
	for _, x := range a.force {
		i := slices.IndexFunc(a.list, func(y Alert) bool { return y.Code == x.Code && y.Place == x.Place })
		if i < 0 {
			i = len(a.list)
			a.list = append(a.list, Alert{Code: x.Code, Place: x.Place, Severity: x.Severity})
		}
		a.list[i].LastedS += d.Seconds()
	}
}

// all that were in force; what comes after the last reading too.
func (a *alerts) all() []Alert {
	for len(a.coming) > 0 {
		a.next()
	}
	return append([]Alert{}, a.list...)
}
