package season

import (
	"fmt"
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// Runs are how pump and fans ran at a time of a recorded stretch, 0 to 1.
type Runs func(time.Time) (pump, fans quantity.Share)

// AtRest is a stretch through which nothing ran.
func AtRest(time.Time) (pump, fans quantity.Share) { return 0, 0 }

// Rerun lives a recorded stretch again from how it began up to a time, its pump and fans
// not decided upon but as told: as they ran, to see how far the house is off the record, or
// at rest, to see what would have come without heat. Air and sun are those that a memory
// holds; not ok where too little of the air is remembered. Cold is counted below a minimum,
// in K²h. The memory is not changed.
func Rerun(h House, m *night.Memory, d Begun, until time.Time, minimum quantity.Celsius, runs Runs) (r Relived, ok bool, err error) {
	past := &remembered{memory: m, site: h.Plant.Site.Track()}
	if !past.covers(d.At, until) {
		return r, false, nil
	}
	past.begin(&h, d)
	p, err := plant.New(h.Plant, d.At, h.Start)
	if err != nil {
		return r, false, fmt.Errorf("a night lived again: %w", err)
	}
	step := func() {
		middle := p.Clock().Add(minute / 2)
		pump, fans := runs(middle)
		p.Step(minute, plant.Act{Pump: pump, Fans: fans, ElementConnected: true}, past.At(middle))
	}
	return past.live(p, d.At, until, float64(minimum), step), true, nil
}
