package page

import (
	"fmt"
	"strings"

	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// slack is what a probe tells no finer, K (DS18B20, ±0.5 K by its datasheet).
const slack = 0.5

// lead answers first: is the crop safe until morning? What is wrong now goes before what
// is expected, and what is planned is believed only where nothing keeps it from being done.
func (m *Moment) lead(t taste, minimum quantity.Celsius) (text string, grim bool) {
	if m == nil {
		return "Just started.", false
	}
	barred := m.Decision.Facts.Barred.By != control.NotBarred
	now := m.coldNow(t, minimum)
	switch {
	case now != "" && barred:
		return now + " " + m.nothingHeats(t), true
	case now != "":
		return now, true
	case barred:
		text, grim = m.barredLead(t, minimum)
	default:
		text, grim = m.plannedLead(t, minimum)
	}
	if late := m.coldLately(t, minimum); late != "" && !grim { // a night that is too cold says more
		return late, true
	}
	return text, grim
}

// coldNow says that it is too cold already; empty where it is not.
func (m *Moment) coldNow(t taste, minimum quantity.Celsius) string {
	f := &m.Decision.Facts
	limit := fmt.Sprintf("the tunnel is at %s, the crop's minimum is %s.", t.temp(f.Air), t.temp(minimum))
	switch {
	case f.AirOK && f.Air < minimum-slack:
		return "Too cold now: " + limit
	case f.AirOK && f.Air < minimum:
		return "At its limit now: " + limit
	case m.inForce(control.AlertTunnelCold) && !f.AirOK:
		return "The tunnel was too cold when it was last read, and is not known now."
	case m.inForce(control.AlertNearFreezing):
		return "The loop's liquid is near freezing: see below what to do."
	}
	return ""
}

// coldLately says that an alert of cold stands although the air is warm enough now, as in a
// tunnel that swings with the pump; empty where none does.
func (m *Moment) coldLately(t taste, minimum quantity.Celsius) string {
	if !m.inForce(control.AlertTunnelCold) {
		return ""
	}
	return fmt.Sprintf("Too cold at times: the tunnel is at %s now, the crop's minimum is %s.", t.temp(m.Decision.Facts.Air), t.temp(minimum))
}

func (m *Moment) inForce(c control.AlertCode) bool {
	for _, a := range m.Alerts {
		if a.Code == c.String() {
			return true
		}
	}
	return false
}

// nothingHeats says why no heat comes, and to when.
func (m *Moment) nothingHeats(t taste) string {
	return t.timed(control.NothingHeats(m.Decision.Facts.Barred, m.At, t.zone))
}

// barredLead answers while no heat can come: by the outlook without heat for as long as
// that lasts, and by the plan after it.
func (m *Moment) barredLead(t taste, minimum quantity.Celsius) (text string, grim bool) {
	f := &m.Decision.Facts
	b, text := f.Barred, m.nothingHeats(t)
	c, at, ok := b.Coldest(&f.Tonight, m.At)
	whole := b.Whole(&f.Tonight, m.At)
	switch {
	case !ok:
		return text + " What the night brings is not known.", true
	case c < minimum-slack:
		return fmt.Sprintf("%s Without heat about %s at %s, the crop's minimum is %s.", text, t.temp(c), t.clock(at), t.temp(minimum)), true
	case whole && quantity.Celsius(f.Tonight.Story.UnheatedLow) < minimum-slack:
		return fmt.Sprintf("%s It may fall to %s, the crop's minimum is %s.", text, t.temp(quantity.Celsius(f.Tonight.Story.UnheatedLow)), t.temp(minimum)), true
	case whole:
		return fmt.Sprintf("%s Even so no colder than %s is expected, the crop's minimum is %s.", text, t.temp(c), t.temp(minimum)), false
	}
	after, grim := m.plannedLead(t, minimum)
	return text + " Then as planned: " + strings.ToLower(after[:1]) + after[1:], grim
}

// plannedLead answers where the plan is followed.
func (m *Moment) plannedLead(t taste, minimum quantity.Celsius) (text string, grim bool) {
	a := &m.Decision.Facts.Tonight
	s := &a.Story
	coldest, at := quantity.Celsius(s.Coldest), s.ColdestAt
	if !a.Cold {
		coldest = quantity.Celsius(s.Unheated)
	}
	low := quantity.Celsius(s.Low)
	switch {
	case a.Way == night.Levelled && quantity.Celsius(a.Level) < minimum-slack:
		return fmt.Sprintf("Too cold tonight: heat and battery hold about %s, the crop's minimum is %s.", t.temp(quantity.Celsius(a.Level)), t.temp(minimum)), true
	case a.Way != night.Planned || at.IsZero():
		return m.unplannedLead(), m.At.IsZero() || !m.light(t)
	case coldest < minimum-slack:
		return fmt.Sprintf("Too cold tonight: about %s at %s, the crop's minimum is %s.", t.temp(coldest), t.clock(at), t.temp(minimum)), true
	case low < minimum-slack:
		return fmt.Sprintf("Likely safe until morning, but not surely: it may fall to %s.", t.temp(low)), false
	}
	return "The crop is safe until morning.", false
}

// unplannedLead says that nobody looks ahead.
func (m *Moment) unplannedLead() string { return "What the night brings is not known." }

// light says that it is day by the clock, when not knowing the night is no alarm yet.
func (m *Moment) light(t taste) bool {
	hour := m.At.In(t.zone).Hour()
	return hour >= dayFrom && hour < dayTo
}

// The hours of the day in which the night is far, winter and summer. Chosen.
const dayFrom, dayTo = 9, 16

// foreseen says that a plan looks ahead.
func (m *Moment) foreseen() bool {
	a := &m.Decision.Facts.Tonight
	return a.Way == night.Planned && !a.Story.ColdestAt.IsZero()
}

// advice is what a person can do where the plan falls short; the sentence says it where heat
// is barred.
func (m *Moment) advice(grim bool, t taste) string {
	f := &m.Decision.Facts
	switch {
	case !grim || f.Barred.By != control.NotBarred || !m.foreseen():
		return ""
	case f.Tonight.Cold && f.Tonight.Story.ColdestAt.After(m.At):
		return "The plan spends heat and battery where they help most, and that is not enough: add a cover, move the trays or bring another heat before " + t.clock(f.Tonight.Story.ColdestAt) + "."
	}
	return "Add a cover or move the trays if you can."
}

// sentence says what the night should bring; where nobody plans, what is done now.
func (m *Moment) sentence(t taste) string {
	if m == nil {
		return "The first readings are on their way."
	}
	f := &m.Decision.Facts
	a := f.Tonight
	a.Learned = nil // figures for who asks, not for three seconds
	words := control.TonightWords(a, f.Barred, m.At, t.units, t.zone)
	switch barred := f.Barred.By != control.NotBarred; {
	case words == "" && barred: // the lead has said why
		return f.Barred.ToDo()
	case words == "":
		return t.timed(sentenceOf(m.Decision.Explain(t.units)) + ".")
	}
	if f.Barred.By != control.NotBarred {
		words = strings.TrimSpace(strings.TrimPrefix(words, control.NothingHeats(f.Barred, m.At, t.zone)))
	}
	return t.timed(sentenceOf(words))
}
