package season

import (
	"duskloop/sensors/quantity"
	"time"
)

var (
	NewTally = newTally
	Finish   = finish
)

func (t *tally) Add(now time.Time, dt time.Duration, air quantity.Celsius) { t.add(now, dt, air) }
