package agent

import (
	"fmt"
	"time"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sensors/quantity"
)

// calibrated says what is taken off which probe, cold and warm, and since when.
func (d *Derived) calibrated(l *config.Loop, u quantity.Units) {
	for p := range control.Places {
		c := l.Probes[p].Calibration
		if !c.Given() {
			continue
		}
		at := func(said quantity.Celsius) string {
			return fmt.Sprintf("%s is taken for %s", said.In(u), c.Correct(said).In(u))
		}
		d.say("probe of the "+p.String(), "%s, %s (calibrated %s)", at(0), at(50), c.Date.Format(time.DateOnly))
	}
}
