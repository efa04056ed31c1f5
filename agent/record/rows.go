package record

import (
	"encoding/json"
	"time"

	"duskloop/control"
)

// Reading is one tick as it is recorded. Temperatures are the last believed
// ones; one that is not known is absent.
type Reading struct {
	Seq       int64 // set by Append; rises by one
	At        time.Time
	Loop      string
	Simulated bool
	Places    [control.Places]Value
	Volts     Value
	Amps      Value
	Charge    Value // 0 to 1
	Band      float64
	Heating   Value // W into the tank, by the panel's voltage
	Mode      control.Mode
	Reason    control.Reason
	Outputs   control.Outputs
	Trouble   map[string]string // place or "battery" to what is wrong with its latest attempt; nil when all is well
}

// Value is a number that may be absent, with the age it had at the tick.
type Value struct {
	V   float64
	OK  bool
	Age time.Duration
}

// Kind is what an event is about.
type Kind string

// The kinds of event.
const (
	KindDecision Kind = "decision"
	KindTonight  Kind = "tonight" // what the night should bring
	KindAlert    Kind = "alert"
	KindSetting  Kind = "setting"
	KindHand     Kind = "hand"
	KindAnswer   Kind = "answer" // to a command, accepted or refused
	KindDaemon   Kind = "daemon" // started, stopped, rows dropped
)

// Event is anything but a reading. Body is one JSON object whose form depends
// on the kind; package mqtt documents it, because it is what is sent.
type Event struct {
	Seq       int64 // set by Append; rises by one
	At        time.Time
	Loop      string
	Simulated bool
	Kind      Kind
	Code      string // alert code, reason, key: what a reader filters by
	Body      json.RawMessage
}
