package season

import (
	"fmt"
	"math"
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// Runs are how pump and fans ran at a time of a recorded stretch, 0 to 1.
type Runs func(time.Time) (pump, fans quantity.Share)

// AtRest is a stretch through which nothing ran.
func AtRest(time.Time) (pump, fans quantity.Share) { return 0, 0 }

// Rerun lives a recorded stretch again up to a time, its pump and fans not decided upon but as
// told: as they ran, to see how far the house is off the record, or at rest, to see what would
// have come without heat. It begins as it stood, and begins anew wherever it is told how it
// stood again, in the order of time; a bed that is NaN then goes on as it was lived. Air and
// sun are those that a memory holds; not ok where too little of the air is remembered. The
// tunnel's air is what the house's probe says of it, late as it is: so was the record's. Cold
// is counted below a minimum, in K²h. The memory is not changed.
func Rerun(h House, m *night.Memory, stood []Begun, until time.Time, minimum quantity.Celsius, runs Runs) (r Relived, ok bool, err error) {
	past := &remembered{memory: m, site: h.Plant.Site.Track()}
	if len(stood) == 0 || !past.covers(stood[0].At, until) {
		return r, false, nil
	}
	l := living{past: past, minimum: float64(minimum), x: Relived{At: stood[0].At, Was: 99, Coldest: 99}}
	bed := stood[0].Bed
	for i, d := range stood {
		end := until
		if i+1 < len(stood) {
			end = stood[i+1].At
		}
		if math.IsNaN(float64(d.Bed)) {
			d.Bed = bed
		}
		if bed, err = l.rerun(h, d, end, runs); err != nil {
			return r, false, fmt.Errorf("a night lived again: %w", err)
		}
	}
	return l.lived(), true, nil
}

// rerun a house from how it stood up to a time, and say how warm the bed is then.
func (l *living) rerun(h House, d Begun, end time.Time, runs Runs) (bed quantity.Celsius, err error) {
	l.past.begin(&h, d)
	p, err := plant.New(h.Plant, d.At, h.Start)
	if err != nil {
		return 0, err
	}
	probes := plant.NewProbes(h.Probes, p.Now())
	l.live(p, end, func() quantity.Celsius {
		middle := p.Clock().Add(minute / 2)
		pump, fans := runs(middle)
		p.Step(minute, plant.Act{Pump: pump, Fans: fans, ElementConnected: true}, l.past.At(middle))
		probes.Read(p.Now(), minute)
		air, _ := probes.At(plant.AtTunnel)
		return air
	})
	return p.Now().Bed, nil
}
