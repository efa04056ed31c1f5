package agent

import (
	"encoding/json"

	"duskloop/control/night"
)

// standingKey is under what name the record keeps how good forecasts from outside were; a
// loop's name follows.
const standingKey = "forecasts.1/"

// keepStanding keeps how good the forecasts from outside were, where that has changed
// since the last slot.
func (l *Loop) keepStanding() {
	m := l.tonight.mind
	if m == nil || l.Record == nil {
		return
	}
	now := m.Standing()
	if now == l.tonight.standing {
		return
	}
	text, err := json.Marshal(now)
	if err != nil {
		l.Log.Error("how good forecasts were cannot be kept", "error", err)
		return
	}
	l.tonight.standing = now
	l.Record.Keep(standingKey+l.name, string(text))
}

// resumeStanding takes up what the last run kept of it.
func (l *Loop) resumeStanding() {
	if l.tonight.mind == nil || l.Record == nil || l.Simulated {
		return
	}
	text, err := l.Record.Kept(standingKey + l.name)
	if err == nil && text == "" {
		return
	}
	var old night.Standing
	if err == nil {
		err = json.Unmarshal([]byte(text), &old)
	}
	if err == nil {
		err = l.tonight.mind.Resume(old)
	}
	if err != nil {
		l.Log.Error("how good forecasts were cannot be read; it is found out anew", "error", err)
		return
	}
	l.tonight.standing = old
}
