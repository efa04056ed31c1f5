package control

import "time"

// shape applies minimum times to the pump, then lets the fans follow. It
// returns the wish as it can be carried out and moves the state's switches.
func (st *State) shape(v *view, w wish) (wish, Facts) {
	w = st.timed(v, w)
	if w.pump && !st.Pump.On && st.Hand.Watch == 0 {
		st.Flow = st.Flow.begin(v)
	}
	st.Pump.turn(w.pump, w.kind == safety)
	facts := v.facts()
	w.fans = st.blow(v, w, &facts)
	st.Fans.turn(w.fans, w.kind == safety)
	return w, facts
}

// timed keeps the pump as it is while a minimum time holds.
func (st *State) timed(v *view, w wish) wish {
	c := &v.s.Carry
	p := st.Pump
	switch {
	case w.kind == stop || w.kind == byHand || w.pump == p.On:
		return w
	case p.On:
		return st.lastRun(w, c)
	case w.kind == comfort && p.For < c.MinRest:
		if st.Hand.Fans > 0 {
			return wish{fans: true, kind: comfort, mode: ByHand, reason: RunByHand}
		}
		return wish{kind: comfort, mode: Resting, reason: MinimumRest}
	case w.kind == safety && p.Safety && p.For < c.SafetyMin && !st.firstAnswer():
		return wish{kind: safety, mode: Resting, reason: SafetyRest}
	}
	return w
}

// firstAnswer says that the tank has only now become hot, or is in danger: that
// is answered in the same step, however short the rest was.
func (st *State) firstAnswer() bool {
	return st.Hot.Danger || (st.Hot.Hot && st.Hot.For == 0)
}

// lastRun lets a run that began for comfort finish its minimum; what safety
// began or ends has safety's short one. A frost guard ends at once: it runs
// only while the tank is the warmer. Fans stop at once where the air is warm
// enough: the minimum protects the pump, and heat blown in too early is lost.
func (st *State) lastRun(w wish, c *Carry) wish {
	limit := c.MinRun
	if st.Pump.Safety || w.kind == safety {
		limit = c.SafetyMin
	}
	if st.Pump.For >= limit || st.Mode == ByHand || st.Mode == Guarding {
		return w
	}
	wanted := (st.Fans.On || w.fans) && w.reason != WarmEnough
	fans := wanted && !st.Hot.Tunnel && st.Mode != Stirring
	return wish{pump: true, fans: fans, kind: comfort, mode: st.Mode, reason: MinimumRun}
}

// blow decides about the fans: never cold air, and after a run the coil's last
// heat. A wish for fans without the pump (by hand) obeys the same margin. Fans
// that the margin stopped rest for safety's minimum before the next try.
func (st *State) blow(v *view, w wish, f *Facts) bool {
	warm := st.warm(v, w)
	if w.fans {
		if !st.Fans.On && st.Fans.For < v.s.Carry.SafetyMin {
			warm = false
		}
		f.FansBlocked = !warm
		return warm
	}
	f.Overrun = warm && st.overruns(v, w)
	return f.Overrun
}

// warm says whether what the fans would blow through is warmer than the air.
func (st *State) warm(v *view, w wish) bool {
	margin := v.s.Carry.FanMargin
	switch {
	case w.reason == Planned:
		margin = -margin // the plan counts the fans' own heat
	case !st.Fans.On:
		margin *= 2 // start well above, stop at the margin: no chatter
	}
	heater := v.heater()
	if w.reason == Gathering {
		return heater.ok && v.airOK
	}
	warm := heater.ok && v.airOK && heater.c.Minus(v.air) > margin
	if !v.coil.ok && !w.pump && w.mode != ByHand {
		warm = warm && st.Fans.On // the tank says nothing about a still coil
	}
	return warm
}

// overruns says whether fans that ran may finish the coil's heat: after a run
// that ended for comfort, and never into a tunnel that is too hot.
func (st *State) overruns(v *view, w wish) bool {
	allowed := w.mode == Resting && w.kind == comfort && w.reason != WarmEnough && !w.pump && st.Fans.On && !st.Hot.Tunnel
	return allowed && st.Pump.For < v.s.Carry.FanOverrun
}

// pass moves the stir's timers on: Since counts from when liquid last moved.
func (s StirTimer) pass(d time.Duration, st *State, c *Carry) StirTimer {
	if st.Mode == Stirring && st.Pump.On {
		s.For += d
		return StirTimer{On: s.For < c.StirFor, For: s.For}
	}
	if st.Pump.On {
		return StirTimer{}
	}
	return StirTimer{Since: s.Since + d}
}
