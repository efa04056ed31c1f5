package sensors

import (
	"time"

	"duskloop/sensors/quantity"
)

// Limits say what a probe can truthfully read in its place.
type Limits struct {
	// Lowest and Highest are the believable range. Highest must lie well above
	// every alert on that place: a value outside is not believed.
	Lowest, Highest quantity.Celsius
	// MaxRate is the fastest the place can change, from its power and heat
	// capacity; zero switches the jump rule off.
	MaxRate quantity.KelvinPerMinute
	// Slack is added to the change that MaxRate allows, for noise and steps.
	Slack quantity.Kelvin
	// Confirm is how many readings in a row, each in reach of the one before,
	// make a jump believed: a probe that was swapped, or a tank that really
	// did jump, is not locked out for ever. Below 2 a jump is believed at once.
	Confirm int
	// FrozenAfter is how long a value may stay the very same while another
	// probe moved by FrozenMove; zero switches the rule off.
	FrozenAfter time.Duration
	FrozenMove  quantity.Kelvin
}

// DefaultLimits are for a place nobody described: the range of the DS18B20
// (-55 to 125 °C, its datasheet), and judgement for the rest.
func DefaultLimits() Limits {
	return Limits{
		Lowest: -55, Highest: 125,
		MaxRate: 3, Slack: 1, Confirm: 3,
		FrozenAfter: 4 * time.Hour, FrozenMove: 2,
	}
}

// Belief is what is known of a probe now: the last value believed, and how the
// last attempt went.
type Belief struct {
	// Value is the last believed value, at time At; At is zero when nothing
	// has ever been believed.
	Value quantity.Celsius
	At    time.Time
	// Last is the last attempt with the judge's cause. Its Value may be a hot
	// one that is not believed yet (Jump): safety may look at it.
	Last Reading
}

// Known says whether any value was ever believed.
func (b Belief) Known() bool { return !b.At.IsZero() }

// Age is how old the believed value is at now; only Known beliefs have one.
func (b Belief) Age(now time.Time) time.Duration { return now.Sub(b.At) }

// Quality is that of the last attempt.
func (b Belief) Quality() Quality { return b.Last.Cause.Quality() }

// Judge keeps each probe's past and decides what is believed. It reads no
// clock: time is what the readings carry. It is for one goroutine.
type Judge struct {
	limits map[string]Limits
	past   map[string]*memory
}

// NewJudge judges the probes named in limits; others get DefaultLimits.
func NewJudge(limits map[string]Limits) *Judge {
	return &Judge{limits: limits, past: make(map[string]*memory)}
}

// Excuse lifts the jump rule for probe until the given time. A coil or return
// probe does jump when the pump starts or stops and warm liquid arrives.
func (j *Judge) Excuse(probe string, until time.Time) {
	j.of(probe).excused = until
}

// Belief is what is known of probe now.
func (j *Judge) Belief(probe string) Belief { return j.of(probe).belief }

// of is the probe's memory, made when first asked for.
func (j *Judge) of(probe string) *memory {
	m, ok := j.past[probe]
	if !ok {
		m = &memory{belief: Belief{Last: Reading{Probe: probe}}}
		j.past[probe] = m
	}
	return m
}

// Consider judges one reading and returns what is now known of its probe. The
// same attempt may be handed in again and changes nothing.
func (j *Judge) Consider(r Reading) Belief {
	m := j.of(r.Probe)
	limits, ok := j.limits[r.Probe]
	if !ok {
		limits = DefaultLimits()
	}
	if r.Cause == NotYet || r.At.Equal(m.belief.Last.At) {
		return m.belief
	}
	*m = judge(limits, *m, r)
	if m.belief.Last.Cause == Good {
		j.moved(r.Probe, r.Value)
	}
	return m.belief
}

// moved tells every other probe that this one now reads value.
func (j *Judge) moved(probe string, value quantity.Celsius) {
	for name, m := range j.past {
		if name != probe {
			m.still = m.still.other(probe, value)
		}
	}
}
