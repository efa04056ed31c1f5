package control

import "duskloop/sensors/quantity"

// loopSlush: ice crystals block a pump and a coil; warm liquid behind them
// cannot arrive.
func loopSlush(v *view) (wish, bool) {
	return wish{kind: stop, mode: Halted, reason: LoopSlush}, v.st.Slush
}

// guardGain is how much warmer the tank must be than the coldest loop probe
// for a run to help. Chosen: two ±0.5 K probes (facts 6.1) must not fake it.
const guardGain = quantity.Kelvin(1.5)

// frostGuard sends warm liquid round before the coil freezes, fans off.
func frostGuard(v *view) (wish, bool) {
	return wish{pump: true, kind: safety, mode: Guarding, reason: FrostGuard}, v.st.Guard
}

// nearFreezing says whether the coldest loop probe is within the margin.
func (v *view) nearFreezing(extra quantity.Kelvin) bool {
	f := v.s.Frost
	return v.coldest.ok && v.coldest.c <= f.Freezing.Plus(f.Margin+extra)
}

// guardNow is the frost guard's memory: it begins at the margin and ends 1 K
// above it, or when the tank has no more to give.
func (v *view) guardNow() bool {
	if !v.tank.ok || !v.coldest.ok {
		return false
	}
	gain := v.tank.c.Minus(v.coldest.c)
	if v.st.Guard {
		return v.nearFreezing(1) && gain > guardGain/2
	}
	return v.nearFreezing(0) && gain > guardGain
}

// slushNow has a hysteresis of half a kelvin above the freezing point. A probe
// lost while it showed slush does not thaw it: that takes every loop probe, or
// the grower's order to resume.
func (v *view) slushNow() bool {
	if v.st.Slush && v.loopProbeMissing() {
		return true
	}
	limit := v.s.Frost.Freezing
	if v.st.Slush {
		limit = limit.Plus(0.5)
	}
	return v.coldest.ok && v.coldest.c <= limit
}
