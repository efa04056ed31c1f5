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
	c := v.s.Carry
	p := st.Pump
	switch {
	case w.kind == stop || w.kind == byHand || w.pump == p.On:
		return w
	case p.On && !w.pump:
		return st.lastRun(w, c)
	case w.kind == comfort && p.For < c.MinRest:
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

// lastRun lets a run that began for comfort finish its minimum, and a safety
// run its own short one.
func (st *State) lastRun(w wish, c Carry) wish {
	limit := c.MinRun
	if st.Pump.Safety {
		limit = c.SafetyMin
	}
	if st.Pump.For >= limit || st.Mode == ByHand {
		return w
	}
	mode := st.Mode
	if w.kind == safety {
		return w
	}
	return wish{pump: true, fans: st.Fans.On, kind: comfort, mode: mode, reason: MinimumRun}
}

// blow decides about the fans: never cold air, and after a run the coil's last
// heat. A wish for fans without the pump (by hand) obeys the same margin.
func (st *State) blow(v *view, w wish, f *Facts) bool {
	margin := v.s.Carry.FanMargin
	if !st.Fans.On {
		margin *= 2 // start well above, stop at the margin: no chatter
	}
	heater := v.heater()
	warm := heater.ok && v.airOK && heater.c.Minus(v.air) > margin
	if !v.coil.ok && !w.pump && w.mode != ByHand {
		warm = warm && st.Fans.On // the tank says nothing about a still coil
	}
	if w.fans {
		f.FansBlocked = !warm
		return warm
	}
	f.Overrun = warm && st.overruns(v, w)
	return f.Overrun
}

// overruns says whether fans that ran may finish the coil's heat.
func (st *State) overruns(v *view, w wish) bool {
	allowed := w.mode == Resting && !w.pump && st.Fans.On
	return allowed && st.Pump.For < v.s.Carry.FanOverrun
}

// pass moves the stir's timers on: Since counts from when liquid last moved.
func (s StirTimer) pass(d time.Duration, st *State, c Carry) StirTimer {
	if st.Mode == Stirring && st.Pump.On {
		s.For += d
		return StirTimer{On: s.For < c.StirFor, For: s.For}
	}
	if st.Pump.On {
		return StirTimer{}
	}
	return StirTimer{Since: s.Since + d}
}
