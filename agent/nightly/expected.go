package nightly

import (
	"encoding/json"
	"time"

	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control/night"
)

// atDusk is how far from dusk what was told is still what was expected of the night. The
// story is told once an hour at least. Our choice.
const atDusk = 3 * time.Hour

// Told takes the events of the night, and keeps of the stories the one nearest to dusk; one
// with a plan goes before one without. It is called before any reading.
func (s *Sum) Told(events []record.Event) {
	var best *Expected
	var away time.Duration
	for i := range events {
		e := expected(&events[i])
		if e == nil {
			continue
		}
		far := e.ToldAt.Sub(s.rules.Dusk).Abs()
		if far > atDusk || best != nil && best.planned() && !e.planned() {
			continue
		}
		if best == nil || e.planned() && !best.planned() || far < away {
			best, away = e, far
		}
	}
	s.told = best
}

func (e *Expected) planned() bool { return e.Way == night.Planned.String() }

// expected reads a story; nil where it is none.
func expected(e *record.Event) *Expected {
	var t wire.Tonight
	if e.Kind != record.KindTonight || json.Unmarshal(e.Body, &t) != nil {
		return nil
	}
	x := &Expected{
		ToldAt: e.At.UTC(), Way: t.Way, Why: t.Why, HeatNeeded: t.HeatNeeded, ColdestC: t.ColdestC, ColdestLowC: t.ColdestLowC,
		ColdestHighC: t.ColdestHighC, ColdestAt: t.ColdestAt, HeatLastsTo: t.HeatLastsTo, ChargeColdestPct: t.ChargeThen,
	}
	if x.ColdestC == nil {
		x.ColdestC = t.UnheatedC
	}
	return x
}
