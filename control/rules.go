package control

import (
	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// kind says which minimum times a wish must respect.
type kind int

const (
	stop    kind = iota // at once
	safety              // safety's own short minimum
	byHand              // a person stands there: at once
	comfort             // minimum run and rest
)

// wish is what a rule asks for before shaping.
type wish struct {
	pump, fans bool
	kind       kind
	mode       Mode
	reason     Reason
	speed      quantity.Share // of the duties that the file sets; 0 is all
}

// decide tries the rules, each a small named piece, in their order of priority;
// the first that applies gives the wish. They are called by name, not from a
// table of functions, so that the view stays on the stack and a step allocates
// nothing.
func decide(v *view) wish {
	if w, ok := demand(v); ok {
		return w
	}
	if w, ok := timedRun(v); ok {
		return w
	}
	if w, ok := forcedTest(v); ok {
		return w
	}
	if w, ok := spend(v); ok {
		return w
	}
	if w, ok := timedFans(v); ok {
		return w
	}
	if w, ok := stir(v); ok {
		return w
	}
	return rest(v)
}

// spend is how heat is spent: as the mind advises where one is at work, else by the
// loop's own differences.
func spend(v *view) (wish, bool) {
	if v.in.Tonight.Way == night.Unasked {
		return carry(v)
	}
	return tonight(v)
}

// demand is what stands above every wish for comfort or by hand.
func demand(v *view) (wish, bool) {
	if w, ok := holdByHand(v); ok {
		return w, ok
	}
	if w, ok := stops(v); ok {
		return w, ok
	}
	if w, ok := tankHot(v); ok {
		return w, ok
	}
	if w, ok := frostGuard(v); ok {
		return w, ok
	}
	return batteryReserve(v)
}

// stops are what no heat is worth overriding.
func stops(v *view) (wish, bool) {
	if w, ok := batteryCutOff(v); ok {
		return w, ok
	}
	if w, ok := levelLow(v); ok {
		return w, ok
	}
	if w, ok := loopNotMoving(v); ok {
		return w, ok
	}
	return loopSlush(v)
}

// holdByHand: the loop is open on the bench.
func holdByHand(v *view) (wish, bool) {
	return wish{kind: stop, mode: Held, reason: HoldByHand}, v.st.Hand.Hold > 0
}

// batteryCutOff: below it a lead-acid battery is harmed and the daemon itself
// goes dark. A battery not seen for too long counts as there.
func batteryCutOff(v *view) (wish, bool) {
	w := wish{kind: stop, mode: Halted, reason: BatteryCutOff}
	if v.st.Battery.CutOff {
		return w, true
	}
	w.reason = BatteryBlind
	return w, v.blind()
}

// levelLow: a pump without liquid runs dry.
func levelLow(v *view) (wish, bool) {
	return wish{kind: stop, mode: Halted, reason: LevelIsLow}, v.in.Level == LevelLow
}

// loopNotMoving: failed tries wait; after the last the loop is halted, except
// that a hot tank is worth one more try each time the wait has passed.
func loopNotMoving(v *view) (wish, bool) {
	f := v.st.Flow
	w := wish{kind: stop, mode: Halted, reason: LoopWaits}
	if f.Halted {
		w.reason = LoopHalted
		return w, f.Wait > 0 || !v.mustShed()
	}
	return w, f.Wait > 0
}

// mustShed says that the tank is known to be hot and its heat has somewhere to
// go.
func (v *view) mustShed() bool {
	h := v.st.Hot
	return v.tank.ok && (h.Danger || h.Hot && !h.Tunnel)
}

// tankHot sheds heat. While the tunnel is too warm for the crop that waits,
// until the tank is dangerous: people come before plants.
func tankHot(v *view) (wish, bool) {
	w := wish{pump: true, fans: true, kind: safety, mode: Shedding, reason: TankHot}
	h := v.st.Hot
	switch {
	case !h.Hot && !h.Danger:
		return wish{}, false
	case !v.tank.ok:
		w.reason = TankLostWhileHot
		return w, v.st.Pump.On && v.st.Mode == Shedding && v.warmCoil()
	case h.Danger:
		w.reason = TankDanger
	case h.Tunnel && v.st.Guard:
		return wish{}, false // pump only warms no tunnel
	case h.Tunnel:
		return wish{kind: safety, mode: Resting, reason: TankHotWaits}, true
	}
	return w, true
}

// warmCoil says that a coil probe still shows heat to shed.
func (v *view) warmCoil() bool {
	return v.coil.ok && v.airOK && v.coil.c.Minus(v.air) > v.s.Carry.FanMargin
}

// batteryReserve leaves what the daemon itself needs until morning. It ends a
// comfort run no sooner than the run's minimum: that costs little, and a meter
// that comes and goes must not make the pump do so.
func batteryReserve(v *view) (wish, bool) {
	w := wish{kind: comfort, mode: Sparing, reason: BatteryReserve}
	if !v.meterKnown() || !v.st.Charge.OK {
		w.reason = BatteryUnknown
		if v.st.Up < v.s.StaleAfter && !v.batteryLost() {
			w.mode, w.reason = Resting, JustStarted
		}
		return w, true
	}
	return w, v.st.Battery.Sparing
}

// timedRun is the grower's own run of the pump. It adds to what comfort would
// do and takes nothing away.
func timedRun(v *view) (wish, bool) {
	h := v.st.Hand
	if h.Pump <= 0 {
		return wish{}, false
	}
	_, carries := spend(v)
	return wish{pump: true, fans: h.Fans > 0 || carries, kind: byHand, mode: ByHand, reason: RunByHand}, true
}

// timedFans is the grower's own run of the fans alone. Where comfort carries
// heat the fans run anyway.
func timedFans(v *view) (wish, bool) {
	return wish{fans: true, kind: comfort, mode: ByHand, reason: RunByHand}, v.st.Hand.Fans > 0
}
