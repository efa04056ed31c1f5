package sensors

import (
	"fmt"
	"time"

	"duskloop/sensors/quantity"
)

// memory is a probe's past as far as the rules need it.
type memory struct {
	belief  Belief
	excused time.Time
	run     run
	still   still
}

// run is a row of readings that jumped away from the believed value and agree
// with each other.
type run struct {
	value quantity.Celsius
	at    time.Time
	count int
}

// judge applies the rules to one reading: (limits, past, reading) to new past.
func judge(l Limits, m memory, r Reading) memory {
	if !quantity.Finite(r.Value) {
		r.Cause, r.Err = Failed, fmt.Errorf("probe %s: value is not a number", r.Probe)
	}
	if carries(r.Cause) {
		m.still = m.still.same(r)
		r.Cause = m.cause(l, r)
		m.run = m.run.next(l, r)
		if r.Cause == Jump && m.run.count >= l.Confirm {
			r.Cause = Good
		}
	}
	if r.Cause == Good {
		m.belief.Value, m.belief.At = r.Value, r.At
		r.Err = nil
	}
	m.belief.Last = r
	return m
}

// carries says whether a driver's reading has a value to judge.
func carries(c Cause) bool { return c == Good || c == PowerOn }

// cause finds the first rule that a value breaks. The order matters: the range
// comes first because nothing may confirm a value outside it.
func (m memory) cause(l Limits, r Reading) Cause {
	switch {
	case r.Value < l.Lowest || r.Value > l.Highest:
		return OutOfRange
	case m.startedAnew(l, r):
		return PowerOn
	case m.still.frozen(l, r.At):
		return Frozen
	case m.jumped(l, r):
		return Jump
	}
	return Good
}

// powerOnValue is what a DS18B20 holds before its first measurement (datasheet,
// "Operation - measuring temperature": the power-on reset value is +85 °C).
const powerOnValue quantity.Celsius = 85

// powerOnNear is how close to 85 °C a probe must have been for 85.000 °C to
// count as a measurement whatever its scratchpad says. Chosen: more than a tank
// changes between a few missed samples, less than would make a false 85 °C
// matter. It exists because some copies of the part carry the power-on mark all
// the time, and a hot tank must not vanish at exactly 85 °C.
const powerOnNear quantity.Kelvin = 5

// startedAnew says whether r is the power-on value rather than a measurement.
// Evidence is the driver's (the scratchpad); a reading without a scratchpad has
// none, so exactly 85.000 °C is then suspected too. What the probe read shortly
// before overrules both. If it is wrong, the place becomes unknown, and an
// unknown tank is treated as a hot one; it is never treated as a cool one.
func (m memory) startedAnew(l Limits, r Reading) bool {
	suspect := r.Cause == PowerOn || !r.HasRaw && r.Value == powerOnValue
	if !suspect {
		return false
	}
	if !m.belief.Known() {
		return true
	}
	return apart(r.Value, m.belief.Value) > min(powerOnNear, reach(l, m.belief.At, r.At))
}

// jumped says whether r is further from the believed value than time allows.
func (m memory) jumped(l Limits, r Reading) bool {
	if !m.belief.Known() || l.MaxRate <= 0 || r.At.Before(m.excused) {
		return false
	}
	return apart(r.Value, m.belief.Value) > reach(l, m.belief.At, r.At)
}

// next counts r into the run if it jumped; any other value ends the run. A
// failed attempt carries no value and does not come here: it neither confirms
// nor refutes.
func (s run) next(l Limits, r Reading) run {
	if r.Cause != Jump {
		return run{}
	}
	count := 1
	if s.count > 0 && apart(r.Value, s.value) <= reach(l, s.at, r.At) {
		count = s.count + 1
	}
	return run{value: r.Value, at: r.At, count: count}
}

// reach is the largest change the place can make between two times.
func reach(l Limits, from, to time.Time) quantity.Kelvin {
	minutes := max(to.Sub(from).Minutes(), 0)
	return l.Slack + quantity.Kelvin(float64(l.MaxRate)*minutes)
}

// apart is the distance of two temperatures.
func apart(a, b quantity.Celsius) quantity.Kelvin {
	return max(a.Minus(b), b.Minus(a))
}

// still watches a value that does not change, and how far the other probes
// moved meanwhile.
type still struct {
	value quantity.Celsius
	since time.Time
	// from is what each other probe read when first heard of since then.
	from  map[string]quantity.Celsius
	moved quantity.Kelvin
}

// same starts the watch anew when r differs from the value watched.
func (s still) same(r Reading) still {
	if !s.since.IsZero() && s.value == r.Value {
		return s
	}
	return still{value: r.Value, since: r.At, from: make(map[string]quantity.Celsius)}
}

// other notes that another probe reads value.
func (s still) other(probe string, value quantity.Celsius) still {
	if s.since.IsZero() {
		return s
	}
	if first, ok := s.from[probe]; ok {
		s.moved = max(s.moved, apart(value, first))
	} else {
		s.from[probe] = value
	}
	return s
}

// frozen says whether the value has stood still for too long at now.
func (s still) frozen(l Limits, now time.Time) bool {
	return l.FrozenAfter > 0 && now.Sub(s.since) > l.FrozenAfter && s.moved >= l.FrozenMove
}
