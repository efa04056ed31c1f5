package agent

import (
	"fmt"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/fit"
)

// clockWatch follows the times of a record's readings, whose clock may be set.
type clockWatch struct {
	latest time.Time
	// A jump ahead that may turn out to be false: from the one time to the other.
	before, landed time.Time
	// Since when what is told was told before; zero where nothing is.
	again time.Time
	said  []fit.Left
}

// A step ahead may be a hole, or a clock that ran wrong until it was set back by about as much.
// Our choices.
const (
	aJump  = time.Hour
	undone = 10 * time.Minute
)

// goesOn says whether a reading of a time is to be believed beside those before it. Where the
// clock is set back, what it told wrong is taken out: all since a jump ahead that this undoes;
// else what is told twice, of which nobody knows which is true.
func (c *clockWatch) goesOn(at time.Time, m *minutes) bool {
	if !at.Before(c.latest) {
		if at.Sub(c.latest) > aJump && !c.latest.IsZero() {
			c.before, c.landed = c.latest, at
		}
		c.latest, c.again = at, time.Time{}
		return true
	}
	if !c.again.IsZero() && !at.Before(c.again) {
		return false
	}
	by := quantity.Span(c.latest.Sub(at).Round(time.Minute))
	if off := at.Sub(c.before) - c.latest.Sub(c.landed); !c.before.IsZero() && off > -undone && off < aJump && !at.Before(c.before) {
		m.forget(c.before.Add(time.Minute), c.latest)
		c.say(m, c.before, fmt.Sprintf("the clock ran ahead and was set back by %v: what it told meanwhile is not believed", by))
		c.latest, c.before, c.again = at, time.Time{}, time.Time{}
		return true
	}
	m.forget(at, c.latest)
	c.say(m, at, fmt.Sprintf("the clock was set back by %v: what is told twice is not believed", by))
	c.again = at
	return false
}

func (c *clockWatch) say(m *minutes, at time.Time, why string) {
	c.said = append(c.said, fit.Left{Noon: int(at.Sub(m.start) / time.Minute), Why: why})
}

// forget takes out the minutes from one time to another.
func (m *minutes) forget(from, to time.Time) {
	m.last = nil
	end := min(len(m.all)-1, int(to.Sub(m.start)/time.Minute))
	for k := max(0, int(from.Sub(m.start)/time.Minute)); k <= end; k++ {
		m.all[k], m.weight[k] = fit.Nothing(), 0
	}
}
