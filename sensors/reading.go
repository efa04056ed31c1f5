package sensors

import (
	"context"
	"errors"
	"fmt"
	"time"

	"duskloop/sensors/quantity"
)

// ErrNothingThere is wrapped by the Err of every reading whose cause is
// NothingThere: the bus was asked and the device is not on it.
var ErrNothingThere = errors.New("nothing there")

// A Reading is one attempt to read one probe.
type Reading struct {
	// Probe is the name the probe was asked by, for 1-Wire its serial.
	Probe string
	// Value means something only where Cause is of quality good or doubtful.
	Value quantity.Celsius
	// Raw is the probe's scratchpad (its nine bytes of memory) when HasRaw.
	Raw    [9]byte
	HasRaw bool
	// At is when the attempt ended, Took how long it lasted.
	At   time.Time
	Took time.Duration
	// Cause and Err: Err has the details and is nil exactly for good readings
	// and for those the Judge alone doubted.
	Cause Cause
	Err   error
}

// Attempt reads one probe for a Bus: it times what read does, and completes what it
// says.
func Attempt(probe string, read func() Reading) Reading {
	began := time.Now()
	r := read()
	r.Probe, r.At = probe, time.Now()
	r.Took = r.At.Sub(began)
	if r.Err != nil {
		r.Err = fmt.Errorf("reading probe %s: %w", probe, r.Err)
	}
	return r
}

// Power is one attempt to read the battery meter.
type Power struct {
	// Volts at the battery's terminals, Amps into it (discharge is negative).
	Volts quantity.Volt
	Amps  quantity.Ampere
	// NoAmps: the meter measures no current, and Amps means nothing.
	NoAmps bool
	// Panel is the voltage of the element's panel, where PanelOK says that it was measured
	// well; neither depends on how the battery's measurement went.
	Panel   quantity.Volt
	PanelOK bool
	At      time.Time
	Took    time.Duration
	Cause   Cause
	Err     error
}

// A Bus carries temperature probes. Both methods may be called from several
// goroutines, one per probe.
type Bus interface {
	// Begin starts one measurement of everything on the bus, where the bus can
	// do that. It must return at once; Read waits for the result.
	Begin(ctx context.Context)
	// Read reads one probe and may block for as long as the hardware does. It
	// always fills in Probe, At, Took and Cause.
	Read(ctx context.Context, probe string) Reading
}

// A Finder is a Bus that can say which probes are on it, whether or not anybody asked for
// them. Find may block as long as the hardware does.
type Finder interface {
	Find(ctx context.Context) (probes []string, err error)
}

// A Meter measures the battery. Read may block as long as the hardware does.
type Meter interface {
	Read(ctx context.Context) Power
}
