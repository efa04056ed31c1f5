package page

import (
	"time"

	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/sensors/quantity"
)

// Moment is what the loop knew at the end of a tick. It is never changed once shown.
type Moment struct {
	At        time.Time
	Period    time.Duration // until the next is due
	Simulated bool
	Decision  control.Decision
	Places    []Place
	Devices   []Device // probes on the bus, as last read
	Unseen    string   // why there may be others; empty when these are all
	Meter     control.Meter
	Alerts    []wire.Active
	// Told are the alerts' texts as things stand, in the order of Alerts, by the reader's
	// units; without it they are as they were last said.
	Told map[quantity.Units][]string
	Hand []Order // in force, by hand
	// Documents as they go out by MQTT, for machines.
	Documents Documents
}

// Documents are the loop's state as one JSON object, each member of its message's schema
// (agent/mqtt/messages.json) but for the number that an event has there. One that is not
// known yet is absent.
type Documents struct {
	Decision *wire.Decision `json:"decision,omitempty"`
	Tonight  *wire.Tonight  `json:"tonight,omitempty"`
	Alerts   *wire.Alerts   `json:"alerts,omitempty"`
	Readings *wire.Report   `json:"readings,omitempty"`
}

// Place is one probe's.
type Place struct {
	Name    string
	Probe   string // the device's own name
	Known   bool
	C       quantity.Celsius
	Age     time.Duration
	Trouble string // with the latest attempt, in words; empty when all is well
}

// Device is one probe on the bus, as it was last read, whether or not that is believed.
type Device struct {
	ID, Place string // where the file has it; empty: nowhere
	Known     bool
	C         quantity.Celsius
	Age       time.Duration
	Trouble   string
}

// Order is one by hand that is in force.
type Order struct {
	Name  string        // as control has it
	Words string        // what it does
	Left  time.Duration // how long yet
}

// Home is what never changes while the daemon runs.
type Home struct {
	Site, Loop string
	Simulated  bool
	Units      quantity.Units
	Zone       *time.Location
	Minimum    func() quantity.Celsius // of the crop, which may be changed while running
}
