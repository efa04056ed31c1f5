package control

import (
	"iter"
	"time"
)

// AlertCode names an alert.
type AlertCode int

// The alerts. The last two exist once for each place.
const (
	AlertTankDanger AlertCode = iota
	AlertTankHot
	AlertTankUnknown
	AlertLevelLow
	AlertTunnelHot
	AlertTunnelCold
	AlertBatteryCutOff
	AlertBatteryLow
	AlertBatteryUnknown
	AlertNearFreezing
	AlertLoopStill
	AlertRecordFails
	AlertBrokerFails
	AlertClockUntrusted
	AlertHeld
	AlertWatching
	AlertColdCharge
	AlertNotHeating
	AlertAged
	AlertProbeLost
	AlertProbeDoubted
	alertCodes // how many there are

	noCause    = alertCodes
	plain      = int(AlertProbeLost)
	alertSlots = plain + 2*int(Places)
)

// slot is the alert's index in State.Alerts.
func slot(c AlertCode, p Place) int {
	if int(c) < plain {
		return int(c)
	}
	return plain + (int(c)-plain)*int(Places) + int(p)
}

// slotOf is slot turned round.
func slotOf(i int) (AlertCode, Place) {
	if i < plain {
		return AlertCode(i), Places
	}
	i -= plain
	return AlertCode(plain + i/int(Places)), Place(i % int(Places))
}

// perPlace says whether an alert exists once for each place.
func (c AlertCode) perPlace() bool { return int(c) >= plain }

// places yields the places an alert is judged for.
func (c AlertCode) places() iter.Seq[Place] {
	return func(yield func(Place) bool) {
		if !c.perPlace() {
			yield(Places)
			return
		}
		for p := range Places {
			if !yield(p) {
				return
			}
		}
	}
}

// String is the alert's code in record, message and page.
func (c AlertCode) String() string {
	if c < 0 || c >= alertCodes {
		return "no-alert"
	}
	return alertTable[c].code
}

// Severity is the alert's declared severity.
func (c AlertCode) Severity() Severity {
	if c < 0 || c >= alertCodes {
		return Emergency
	}
	return alertTable[c].severity
}

// AlertCodes yields every declared alert.
func AlertCodes() iter.Seq[AlertCode] {
	return func(yield func(AlertCode) bool) {
		for c := range alertCodes {
			if !yield(c) {
				return
			}
		}
	}
}

// Active yields the alerts in force.
func (st *State) Active() iter.Seq2[AlertCode, Place] {
	return func(yield func(AlertCode, Place) bool) {
		for c := range alertCodes {
			for p := range c.places() {
				if st.Alerts[slot(c, p)].Active && !yield(c, p) {
					return
				}
			}
		}
	}
}

// alert moves every alert on by d and returns what changed.
func (st *State) alert(d time.Duration, v *view) []AlertChange {
	var changes []AlertChange
	for i := range st.Alerts {
		c, p := slotOf(i)
		a := &st.Alerts[i]
		if c.perPlace() && !v.s.Fitted.Places[p] && !a.Active {
			continue
		}
		if kind, changed := a.pass(d, v, c, p); changed {
			changes = append(changes, change(v, c, p, kind))
		}
	}
	return changes
}

// pass moves one alert on. While its cause is active an alert is neither
// raised nor repeated, but it can clear.
func (a *AlertState) pass(d time.Duration, v *view, c AlertCode, p Place) (ChangeKind, bool) {
	decl := &alertTable[c]
	if a.Active {
		return a.stand(d, v, c, p)
	}
	if !v.raises(c, p) || v.suppressed(c, p) {
		a.Since = 0
		return 0, false
	}
	a.Since = held(a.Since, d, true)
	if a.Since < decl.after {
		return 0, false
	}
	*a = AlertState{Active: true}
	return Raised, true
}

func (a *AlertState) stand(d time.Duration, v *view, c AlertCode, p Place) (ChangeKind, bool) {
	decl := &alertTable[c]
	a.Since += d
	a.Quiet += d
	if !v.raises(c, p) && !v.keeps(c, p) {
		if a.Over += d; a.Over >= decl.stays {
			*a = AlertState{}
			return Cleared, true
		}
		return 0, false
	}
	a.Over = 0
	if decl.repeat > 0 && a.Quiet >= decl.repeat && !v.suppressed(c, p) {
		a.Quiet = 0
		return Repeated, true
	}
	return 0, false
}

// suppressed says whether the alert's cause is active.
func (v *view) suppressed(c AlertCode, p Place) bool {
	if c == AlertProbeLost && p == Tank {
		return v.st.Alerts[AlertTankUnknown].Active
	}
	cause := alertTable[c].cause
	return cause != noCause && v.st.Alerts[slot(cause, p)].Active
}

func change(v *view, c AlertCode, p Place, kind ChangeKind) AlertChange {
	text := "over: " + alertTable[c].title
	if c.perPlace() {
		text += " (" + p.String() + ")"
	}
	if kind != Cleared {
		text = v.tells(c, p)
	}
	return AlertChange{Code: c, Place: p, Kind: kind, Severity: alertTable[c].severity, Text: text}
}

// sounds says whether the buzzer is on: for each steady alert in force, and
// for one step when a chirping one has just been said.
func (st *State) sounds() bool {
	for i := range st.Alerts {
		a := &st.Alerts[i]
		if !a.Active {
			continue
		}
		c, _ := slotOf(i)
		sound := alertTable[c].sound
		if sound == Steady || sound == Chirp && a.Quiet == 0 {
			return true
		}
	}
	return false
}
