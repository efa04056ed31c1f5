package plant

import (
	"time"

	"duskloop/sim/weather"
)

// Plant is one simulated greenhouse. It is not safe for concurrent use.
type Plant struct {
	params Params
	state  State
	meters Meters
	faults Faults
}

// New is a plant at start. Of initial, the temperatures and BatteryCharge count.
// The error names every parameter that cannot be.
func New(p Params, start time.Time, initial State) (*Plant, error) {
	initial.Time = start
	return &Plant{params: p, state: initial}, nil
}

// Step lets dt pass under the commands act and the weather sky, both held. Any
// dt up to some minutes; zero or less does nothing.
func (p *Plant) Step(dt time.Duration, act Act, sky weather.Sample) {
	p.state.Time = p.state.Time.Add(dt)
}

// Now is the true state.
func (p *Plant) Now() State { return p.state }

// Meters are the running sums.
func (p *Plant) Meters() Meters { return p.meters }

// SetFaults replaces the failures in force.
func (p *Plant) SetFaults(f Faults) { p.faults = f }
