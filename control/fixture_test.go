package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// tick is the sampling period of the tests.
const tick = 10 * time.Second

// bench is a settings set of our own for tests; its numbers are invented.
func bench() Settings {
	s := Settings{
		StaleAfter: 3 * tick,
		Tank:       TankLimits{Hot: 82, Danger: 90, Hysteresis: 4, MinOpen: 5 * time.Minute},
		Crop:       CropLimits{Minimum: 5, Comfort: 12, Maximum: 30},
		Carry: Carry{
			Start: 9, Stop: 3, Worth: 4, Conductance: 20, Draw: 14,
			MinRun: 3 * time.Minute, MinRest: 4 * time.Minute, SafetyMin: 30 * time.Second,
			FanMargin: 1.5, FanOverrun: 2 * time.Minute,
			StirEvery: 20 * time.Minute, StirFor: 3 * time.Minute, StirRise: 0.4,
			PumpDuty: 1, FanDuty: 1,
		},
		Frost: Frost{Freezing: -12, Margin: 3},
		Battery: Battery{
			Chemistry: AGM, Capacity: 24, Resistance: 0.02, Reserve: 0.5, Recovery: 0.08,
			CutOff: 11.9, Reconnect: 12.5, Delay: 40 * time.Second, BlindAfter: 30 * time.Minute,
		},
		Proof: Proof{Within: time.Minute, Difference: 5, Tries: 3, TryEvery: 10 * time.Minute, PumpCurrent: 0.6, FanCurrent: 0.5},
	}
	s.Fitted.Contactor = true
	for _, p := range []Place{Tank, Coil, Tunnel, Outdoors} {
		s.Fitted.Places[p] = true
	}
	return s
}

// rig is a loop on a test bench: inputs that a test bends, and the state.
type rig struct {
	s  Settings
	st State
	in Inputs
	d  Decision
}

// newRig stands at rest with everything known and unremarkable: tank 20 °C,
// tunnel 15 °C, battery nearly full.
func newRig() *rig {
	r := &rig{s: bench(), st: NewState()}
	r.in = Inputs{Elapsed: tick, ClockTrusted: true, Meter: Meter{Volts: 12.75, Amps: -0.1, HasVolts: true, HasAmps: true}}
	r.temp(Tank, 20)
	r.temp(Coil, 15)
	r.temp(Tunnel, 15)
	r.temp(Outdoors, 2)
	return r
}

func (r *rig) temp(p Place, c quantity.Celsius) {
	r.in.Places[p] = Temperature{Value: c, Ever: true}
}

// lose ages a place's last reading by d and marks it lost.
func (r *rig) lose(p Place, d time.Duration) {
	r.in.Places[p].Age, r.in.Places[p].Trouble, r.in.Places[p].Cause = d, Lost, "nothing there"
}

// step takes n ticks and keeps the last decision; alert changes of all of
// them are gathered.
func (r *rig) step(n int) []AlertChange {
	var changes []AlertChange
	for range n {
		r.st, r.d = Step(&r.s, r.st, r.in)
		r.in.Orders = nil
		changes = append(changes, r.d.Changes...)
	}
	return changes
}

// run takes ticks for d.
func (r *rig) run(d time.Duration) []AlertChange { return r.step(int(d / tick)) }

// flowing moves the coil to where a moving loop brings it, whenever the pump
// is on, and back to the air when it is off, for n ticks.
func (r *rig) flowing(n int) {
	for range n {
		r.step(1)
		if r.d.Outputs.Pump > 0 {
			r.temp(Coil, r.in.Places[Tank].Value-1)
		} else {
			r.temp(Coil, r.in.Places[Tunnel].Value)
		}
	}
}

func raised(changes []AlertChange, c AlertCode) bool {
	for _, ch := range changes {
		if ch.Code == c && ch.Kind == Raised {
			return true
		}
	}
	return false
}
