package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// Step decides once. s is read only; st is consumed and its successor
// returned; in may hold anything, including NaN. It never fails: what is not
// known has its own rules.
//
// The work of one step is constant and it allocates only when an alert
// changes.
func Step(s *Settings, st State, in Inputs) (State, Decision) {
	in.clean()
	passed, d := in.Elapsed, min(in.Elapsed, longestStep)
	st.Up += d
	st.Pump.pass(d)
	st.Fans.pass(d)
	watching := st.Hand.Watch > 0
	st.Hand = st.Hand.pass(passed)
	watched := st.Hand.Watched
	st.take(in.Orders)
	if watching && st.Hand.Watch == 0 {
		st.endWatch(watched)
	}

	v := see(s, &st, &in)
	st.Samples = st.Samples.pass(d, &v)
	st.Charge = st.Charge.pass(d, &v)
	st.Battery = st.Battery.pass(&v)
	st.Hot = st.Hot.pass(d, &v)
	st.Slush = v.slushNow()
	st.Guard = v.guardNow()
	st.Contactor = st.Contactor.pass(d, &v)
	st.Charger = st.Charger.pass(d, &v)
	st.Trend = st.Trend.pass(d, v.tank, st.pumping(), s.Carry.StirRise)
	if rising, ok := v.heats(); ok {
		st.Trend.Rising = rising
	}
	st.Hand = st.Hand.test(d, &v)
	st.Sunned = st.Sunned.pass(d, &v)
	st.Stir = st.Stir.pass(d, &st, &s.Carry)
	st.Flow = st.Flow.pass(d, &v)

	st.Ledger = st.Ledger.follow(d, &v)

	w, facts := st.shape(&v, decide(&v))
	st.Mode, st.Reason = w.mode, w.reason
	facts.Barred = v.barred()

	out := Decision{Mode: w.mode, Reason: w.reason, Facts: facts}
	out.Changes = st.alert(d, &v)
	out.Wanted = st.outputs(s, w)
	out.Outputs = out.Wanted
	if st.Hand.Watch > 0 {
		out.Outputs.Pump, out.Outputs.Fans = 0, 0
	}
	st.Battery.Loads = s.loads(out.Outputs)
	return st, out
}

func (st *State) outputs(s *Settings, w wish) Outputs {
	o := Outputs{Closed: st.Contactor.Closed, Buzzer: st.sounds(), ChargerOff: st.Charger.Off}
	share := st.share(w)
	if w.pump {
		o.Pump = s.Carry.PumpDuty * share
	}
	if w.fans {
		o.Fans = s.Carry.FanDuty * share
	}
	return o
}

// share of the file's duties at which a wish runs: all, until the loop is seen to move.
// A slow pump may not start from rest, and its current and the coil would prove little.
func (st *State) share(w wish) quantity.Share {
	if w.speed > 0 && !st.Flow.Watching {
		return w.speed
	}
	return 1
}

// endWatch starts pump and fans from the rest they really had: what was only
// wished while watching has never run.
func (st *State) endWatch(watched time.Duration) {
	st.Pump, st.Fans = Run{For: watched}, Run{For: watched}
}

// pumping says that the pump is really switched on.
func (st *State) pumping() bool { return st.Pump.On && st.Hand.Watch == 0 }
