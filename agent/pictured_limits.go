package agent

import (
	"encoding/json"
	"strings"
	"time"

	"duskloop/agent/picture"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

// Changed takes the settings changed while running, oldest first, before the first
// reading: crop minimum and reserve are drawn as they were. The minimum is known from
// them even without a file; the reserve is not, because it depends on the battery.
func (p *Pictured) Changed(events []record.Event, loop string) {
	p.minimum = changesOf(events, loop, "crop.minimum", temperature)
	p.reserve = changesOf(events, loop, "battery.reserve", share)
	p.minimum.into(&p.sheet.Minimum, p.sheet.From, p.sheet.To)
}

// changesOf are those of one setting of a loop.
func changesOf(events []record.Event, loop, key string, read func(string) (float64, bool)) (all changes) {
	for _, e := range events {
		var c wire.Change
		if json.Unmarshal(e.Body, &c) != nil || c.Setting == nil || e.Loop != loop {
			continue
		}
		if strings.TrimPrefix(c.Setting.Key, "loop."+loop+".") == key {
			all.changed(e.At, c.Setting, read)
		}
	}
	return all
}

// reserveOf is the reserve as it stood at a reading: as set then, and risen in the
// cold, by the decision's own rule.
func (p *Pictured) reserveOf(x *record.Reading) float64 {
	b := p.limits.Battery
	b.Reserve = quantity.Share(p.reserve.at(x.At, float64(b.Reserve)))
	if !b.Placed {
		return float64(b.Reserve)
	}
	cell := x.Places[b.Where]
	return float64(b.ReserveAt(quantity.Celsius(cell.V), cell.OK && cell.Age <= p.limits.StaleAfter))
}

// changes are a limit's values over time; the first holds from before any record.
type changes []picture.Step

func (l *changes) changed(at time.Time, s *wire.SettingChange, read func(string) (float64, bool)) {
	from, ok := read(s.From)
	to, good := read(s.To)
	if !ok || !good {
		return
	}
	if len(*l) == 0 {
		*l = changes{{V: from}}
	}
	*l = append(*l, picture.Step{From: at, V: to})
}

// at is the limit at a time; or is what it is where no change is known.
func (l changes) at(t time.Time, or float64) float64 {
	for _, s := range l {
		if !s.From.After(t) {
			or = s.V
		}
	}
	return or
}

// into replaces the limit of a sheet from a time to another, if any change is known.
func (l changes) into(level *picture.Level, from, to time.Time) {
	if len(l) == 0 {
		return
	}
	*level = nil
	for _, s := range l {
		switch {
		case !s.From.After(from):
			*level = picture.Level{{From: from, V: s.V}}
		case s.From.Before(to):
			*level = append(*level, s)
		}
	}
}

func temperature(text string) (float64, bool) {
	var c quantity.Celsius
	err := c.Set(text)
	return float64(c), err == nil
}

func share(text string) (float64, bool) {
	var s quantity.Share
	err := s.Set(text)
	return float64(s), err == nil
}
