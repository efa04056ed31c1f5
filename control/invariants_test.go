package control

import (
	"slices"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// witness watches a loop from outside and knows the promises, not the rules.
// It keeps its own books: what was switched when, and what was measured.
type witness struct {
	s       *Settings
	now     time.Duration
	was     Decision
	pump    []flip
	lowFor  time.Duration // rest voltage without a break at or below cut-off
	lowSeen bool
	age     time.Duration
}

// flip is one real switch of the pump, and whether it was comfort's.
type flip struct {
	at      time.Duration
	on      bool
	comfort bool
}

// check takes one step's inputs and decision.
func (w *witness) check(t require.TestingT, in Inputs, d Decision) {
	passed := min(max(in.Elapsed, 0), longestStep)
	w.now += passed
	w.battery(t, in, passed, d)
	w.switches(t, in, d)
	w.heat(t, in, d)
	w.air(t, in, d)
	w.sense(t, d)
	w.was = d
}

// battery: pump and fans are never on below the cut-off once its delay is over.
// A meter that repeats its last sample proves nothing new.
func (w *witness) battery(t require.TestingT, in Inputs, passed time.Duration, d Decision) {
	m := in.Meter
	age := max(m.Age, 0)
	ordinary := func(x float64) bool { return x > -1000 && x < 1000 }
	known := m.HasVolts && ordinary(float64(m.Volts)) && age <= w.s.StaleAfter
	if !known || !m.HasAmps || !ordinary(float64(m.Amps)) {
		w.lowFor, w.lowSeen, w.age = 0, false, age
		return
	}
	fresh := !w.lowSeen || age < w.age+passed
	w.age = age
	rest := float64(m.Volts) - float64(m.Amps)*float64(w.s.Battery.Resistance)
	switch {
	case rest > float64(w.s.Battery.CutOff):
		w.lowFor, w.lowSeen = 0, false
	case !fresh: // leaves the time to the next one: the bound stays on the safe side
		w.lowSeen, w.lowFor = false, 0
	case w.lowSeen:
		w.lowFor += passed
	default:
		w.lowSeen = true
	}
	if w.lowFor >= w.s.Battery.Delay {
		require.Zero(t, d.Outputs.Pump, "pump below cut-off")
		require.Zero(t, d.Outputs.Fans, "fans below cut-off")
	}
}

// comfortable says which switches belong to comfort: those in and out of the
// modes that nobody's safety asks for, unless a person or a stop interfered.
func comfortable(m Mode) bool {
	return m == Resting || m == Carrying || m == Stirring || m == Sparing
}

// switches: no two of comfort's inside its minimum times. The real switch
// counts; one that an order or watching made is not comfort's.
func (w *witness) switches(t require.TestingT, in Inputs, d Decision) {
	on := d.Outputs.Pump > 0
	if on == (w.was.Outputs.Pump > 0) {
		return
	}
	byHand := d.Facts.Watching != w.was.Facts.Watching || len(in.Orders) > 0 || w.was.Mode == ByHand
	safety := d.Reason == TankHotWaits || d.Reason == SafetyRest
	f := flip{at: w.now, on: on, comfort: comfortable(d.Mode) && comfortable(w.was.Mode) && !byHand && !safety}
	if n := len(w.pump); n > 0 && f.comfort && w.pump[n-1].comfort {
		least := w.s.Carry.MinRest
		if !on {
			least = w.s.Carry.MinRun
		}
		require.GreaterOrEqual(t, f.at-w.pump[n-1].at, least, "comfort switched too soon: on %v", on)
	}
	w.pump = append(w.pump, f)
}

// heat: a tank known to be hot is answered in the same tick.
func (w *witness) heat(t require.TestingT, in Inputs, d Decision) {
	tank := in.Places[Tank]
	celsius := float64(tank.Value)
	ordinary := celsius > -1000 && celsius < 1000
	known := tank.Ever && ordinary && tank.Age <= w.s.StaleAfter
	if !known {
		require.False(t, d.Outputs.Closed, "contactor closed on an unknown tank")
		return
	}
	if celsius < float64(w.s.Tank.Hot) {
		return
	}
	require.False(t, d.Outputs.Closed, "contactor closed on a hot tank")
	require.True(t, d.Outputs.Buzzer, "no buzzer on a hot tank")
	stopped := d.Mode == Held || d.Mode == Halted
	spared := d.Reason == TankHotWaits || d.Reason == SafetyRest || d.Mode == Guarding || d.Reason == MinimumRun
	if !stopped && !spared {
		require.Positive(t, d.Wanted.Pump, "hot tank, no stop, no pump: %v", d.Reason)
	}
	if d.Reason == SafetyRest || d.Reason == TankHotWaits {
		require.Less(t, celsius, float64(w.s.Tank.Danger), "danger waits for nothing")
	}
}

// air: fans only where what they blow through is warmer than the tunnel.
func (w *witness) air(t require.TestingT, in Inputs, d Decision) {
	if d.Wanted.Fans == 0 {
		return
	}
	believed := func(p Place) (quantity.Celsius, bool) {
		x := in.Places[p]
		return x.Value, w.s.Fitted.Places[p] && x.Ever && x.Value > -1000 && x.Value < 1000 && x.Age <= w.s.StaleAfter
	}
	warm, ok := believed(Coil)
	if !ok {
		warm, ok = believed(Tank)
	}
	require.True(t, ok, "fans with nothing known to be warm")
	air, ok := believed(Tunnel)
	if !ok {
		air = w.s.Crop.Minimum
	}
	switch d.Reason {
	case Planned: // counts the fans' own heat
		require.Greater(t, float64(warm-air), -float64(w.s.Carry.FanMargin), "fans blow cold")
	case Gathering: // cools a tunnel that has warmth to spare
		require.GreaterOrEqual(t, float64(air), float64(w.s.Crop.Minimum)+1, "gathers from a cold tunnel")
	case MinimumRun: // of a run that the plan began
		if in.Tonight.Way == night.Unasked {
			require.Greater(t, float64(warm-air), float64(w.s.Carry.FanMargin), "fans blow cold")
		}
	default:
		require.Greater(t, float64(warm-air), float64(w.s.Carry.FanMargin), "fans blow cold")
	}
}

// sense: what must hold of any decision by itself.
func (w *witness) sense(t require.TestingT, d Decision) {
	if d.Facts.Watching {
		require.Zero(t, d.Outputs.Pump, "pump while watching")
		require.Zero(t, d.Outputs.Fans, "fans while watching")
	} else {
		require.Equal(t, d.Wanted, d.Outputs)
	}
	if d.Mode == Held || d.Mode == Halted {
		require.Zero(t, d.Wanted.Pump+d.Wanted.Fans, "%v", d.Reason)
	}
	if d.Mode == Guarding || d.Mode == Stirring {
		require.Zero(t, d.Wanted.Fans, "fans while %v", d.Mode)
	}
	require.Less(t, d.Reason, reasons)
	require.NotEmpty(t, d.Explain(quantity.US))
}

// pure steps twice from the same place, and both must agree. Equality of states
// fails on any NaN in them. Every so often it also steps from a state that was
// stored and read back, which is slow.
func pure(t require.TestingT, s *Settings, st State, in Inputs, store bool) (State, Decision) {
	before := *s
	next, d := Step(s, st, in)
	again, d2 := Step(s, st, in)
	require.True(t, next == again && equal(d, d2), "not pure, or not a number")
	require.True(t, before == *s, "settings changed")
	if store {
		again, d2 = Step(s, stored(t, st), in)
		require.True(t, next == again && equal(d, d2), "a stored state decides otherwise")
		requireFinite(t, next, d)
	}
	return next, d
}

// equal compares all of two decisions.
func equal(a, b Decision) bool {
	return a.Same(b) && a.Facts == b.Facts && slices.Equal(a.Changes, b.Changes)
}
