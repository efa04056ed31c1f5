package metrics

import (
	"time"

	"duskloop/control"
	"duskloop/sensors/quantity"
)

// Severities is how many severities RFC 5424 has.
const Severities = int(control.Debug) + 1

// Status is the loop after a tick. It is plain data: copying it copies all of it.
type Status struct {
	Loop      string
	Simulated bool
	At        time.Time // of the tick, by the loop's clock

	Fitted    [control.Places]bool // which places have a probe
	Contactor bool                 // one is fitted
	Places    [control.Places]control.Temperature
	Meter     control.Meter
	Charge    control.Charge
	Mode      control.Mode
	Reason    control.Reason
	Outputs   control.Outputs
	Heating   quantity.Watt // by the panel's voltage
	HeatingOK bool
	Watching  bool // pump and fans are decided on and not switched

	Active [Severities]int   // alerts in force
	Raised [Severities]int64 // since the start
	Ticks  int64             // since the start
	Faulty int64             // ticks of which something was not read, switched or recorded
}

// Wire is what the way to the broker says of itself, at any time.
type Wire interface {
	Left() int64      // rows not acknowledged
	Delivered() int64 // messages acknowledged
	Err() error       // why there is no connection
}

// Source is what a sheet is made of beside the Status.
type Source struct {
	Now     func() time.Time // the loop's clock
	Wire    Wire             // nil where nothing is sent
	Version string           // of the program
}
