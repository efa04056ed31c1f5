package control

import (
	"fmt"
	"time"
)

// Severity is how grave an alert is: the numbers and words of RFC 5424,
// section 6.2.1, table 2.
type Severity int

// The severities, gravest first.
const (
	Emergency Severity = iota
	Alarm              // the RFC's word is "alert"
	Critical
	Error
	Warning
	Notice
	Informational
	Debug
)

var severityWords = [...]string{"emergency", "alert", "critical", "error", "warning", "notice", "informational", "debug"}

// String is the RFC's word.
func (s Severity) String() string {
	if s < 0 || int(s) >= len(severityWords) {
		return severityWords[Emergency]
	}
	return severityWords[s]
}

// MarshalText writes the word.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads the word; an unknown one is an error.
func (s *Severity) UnmarshalText(text []byte) error {
	for i, w := range severityWords {
		if w == string(text) {
			*s = Severity(i)
			return nil
		}
	}
	return fmt.Errorf("no severity is called %q", text)
}

// Sound is what the buzzer does for an alert.
type Sound int

// The sounds.
const (
	Silent Sound = iota
	Chirp        // for one step when raised and at each repeat
	Steady       // as long as the alert is active
)

// ChangeKind is what happened to an alert.
type ChangeKind int

// The kinds of change.
const (
	Raised ChangeKind = iota
	Repeated
	Cleared
)

// String is the change's word.
func (k ChangeKind) String() string {
	return [...]string{"raised", "repeated", "cleared"}[min(max(k, Raised), Cleared)]
}

// AlertChange is one alert raised, repeated or cleared.
type AlertChange struct {
	Code     AlertCode
	Place    Place // for the alerts of a probe; Places otherwise
	Kind     ChangeKind
	Severity Severity
	Text     string
}

// AlertState is one alert's memory. Since counts how long the condition has
// held while pending, and how long the alert has been active afterwards.
type AlertState struct {
	Active bool
	Since  time.Duration
	Quiet  time.Duration // since it was last said
	Over   time.Duration // how long its condition has been over
}
