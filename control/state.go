package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// State is everything one step hands to the next. It is plain data: copying
// it copies all of it, and it can be stored and read back. Timers count time
// passed or time left, never a date, so that they survive a clock that jumps.
type State struct {
	Up        time.Duration // since the daemon started
	Mode      Mode
	Reason    Reason
	Pump      Run
	Fans      Run
	Contactor Contactor
	Charger   Charger
	Hot       Heat
	Slush     bool
	Guard     bool
	Samples   Samples
	Charge    Charge
	Battery   BatteryGuard
	Flow      Flow
	Trend     Trend
	Sunned    Sunned
	Stir      StirTimer
	Hand      Hand
	Ledger    Ledger
	Alerts    [alertSlots]AlertState
}

// Run is a switched thing and how long it has been as it is.
type Run struct {
	On     bool
	For    time.Duration
	Safety bool // the last switch was for safety, not for comfort
}

// pass adds the step's time.
func (r *Run) pass(d time.Duration) { r.For += d }

// turn switches, if that is a change, and starts the timer anew. The end of a
// safety run counts as a safety switch, whatever rule ends it.
func (r *Run) turn(on, safety bool) {
	if r.On == on {
		return
	}
	*r = Run{On: on, Safety: safety || (r.Safety && !on)}
}

// Contactor is the element's contactor. It is open until the tank is known.
type Contactor struct {
	Closed bool
	For    time.Duration
}

// Heat remembers, with hysteresis, whether tank and tunnel are too hot.
type Heat struct {
	Hot, Danger, Tunnel bool
	For                 time.Duration // how long the tank has been hot
}

// NewState is the state of a daemon that has just started with nothing known:
// all is off, and has been for long enough that nothing must wait.
func NewState() State {
	const long = 24 * time.Hour
	return State{Pump: Run{For: long}, Fans: Run{For: long}}
}

// longestDown keeps sums of durations far from overflow.
const longestDown = 365 * 24 * time.Hour

// Restarted is st as it stands after the daemon was down, with all outputs
// inert meanwhile. down is how long; known is false when the clock could not
// tell, and then timers by hand keep what they had left and rests start anew.
func (st State) Restarted(down time.Duration, known bool) State {
	if !known || down < 0 {
		down = 0
	}
	down = min(down, longestDown)
	st.Up = 0
	st.Mode, st.Reason = Resting, JustStarted
	st.Pump = Run{For: down, Safety: st.Pump.Safety}
	st.Fans = Run{For: down, Safety: st.Fans.Safety}
	st.Contactor, st.Charger = Contactor{}, Charger{}
	st.Trend, st.Stir = Trend{}, StirTimer{}
	st.Sunned = st.Sunned.broken()
	st.Flow.Watching, st.Flow.Stalled = false, 0
	st.Flow.Wait = max(0, st.Flow.Wait-down)
	st.Hand = st.Hand.pass(down)
	st.Charge = st.Charge.gap(down, known)
	st.Battery.Below, st.Battery.Above, st.Battery.Loads = 0, 0, 0
	st.Samples = Samples{Unseen: st.Samples.Unseen + down}
	return st
}

// Trend tells, from the tank alone, whether the element is heating.
type Trend struct {
	Reference quantity.Celsius
	Set       bool
	For       time.Duration
	Rising    bool
}

// trendWindow is the time over which a rise is judged. Chosen: at a probe's
// resolution of 0.0625 K a rise of a few tenths stands clear of its noise. Too
// short and noise stirs; too long and the first stir of the morning is late.
const trendWindow = 10 * time.Minute

// pass judges the tank once in a window. A window in which the pump ran says
// nothing, because mixing moves the probe's reading.
func (t Trend) pass(d time.Duration, tank known, pumping bool, rise quantity.Kelvin) Trend {
	if !tank.ok || pumping {
		return Trend{Rising: t.Rising && tank.ok}
	}
	if !t.Set {
		return Trend{Reference: tank.c, Set: true, Rising: t.Rising}
	}
	t.For += d
	if t.For < trendWindow {
		return t
	}
	return Trend{Reference: tank.c, Set: true, Rising: tank.c.Minus(t.Reference) >= rise}
}

// StirTimer times the short mixing runs.
type StirTimer struct {
	Since time.Duration // since the liquid last moved
	On    bool
	For   time.Duration
}
