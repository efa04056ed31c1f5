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

// Changed takes the settings changed while running, oldest first: crop minimum and
// reserve are drawn as they were, and known from them even without a file.
func (p *Pictured) Changed(events []record.Event, loop string) {
	for _, e := range events {
		var c wire.Change
		if json.Unmarshal(e.Body, &c) != nil || c.Setting == nil || e.Loop != loop {
			continue
		}
		switch strings.TrimPrefix(c.Setting.Key, "loop."+loop+".") {
		case "crop.minimum":
			p.minimum.changed(e.At, c.Setting, temperature)
		case "battery.reserve":
			p.reserve.changed(e.At, c.Setting, share)
		}
	}
	p.minimum.into(&p.sheet.Minimum, p.sheet.From, p.sheet.To)
	p.reserve.into(&p.sheet.Reserve, p.sheet.From, p.sheet.To)
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
