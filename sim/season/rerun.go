package season

import (
	"errors"
	"fmt"
	"math"
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// Runs are how pump and fans ran at a time of a recorded stretch, 0 to 1.
type Runs func(time.Time) (pump, fans quantity.Share)

// atRest is a stretch through which nothing runs.
func atRest(time.Time) (pump, fans quantity.Share) { return 0, 0 }

// Rerun lives a recorded stretch again up to a time, by no decision: once with pump and fans
// as they ran, to see how far the house is off the record, and once at rest, to see what would
// have come without heat. It begins as it stood. Wherever it is told how it stood again, in
// the order of time, the first begins anew from there; the second is moved by as much in
// tunnel and bed as the first was, so that heat that was given before is not given to it. A
// bed that is NaN then goes on as it was lived.
//
// Air and sun are those that a memory holds; not ok where too little of the air is remembered.
// The tunnel's air is what the house's probe says of it, late as it is: so was the record's.
// Cold is counted below a minimum, in K²h. The memory is not changed.
func Rerun(h House, m *night.Memory, stood []Begun, until time.Time, minimum quantity.Celsius, runs Runs) (ran, bare Relived, ok bool, err error) {
	past := &remembered{memory: m, site: h.Plant.Site.Track()}
	if len(stood) == 0 || !past.covers(stood[0].At, until) {
		return ran, bare, false, nil
	}
	one, other := again(past, stood[0], minimum), again(past, stood[0], minimum)
	first, second := stood[0], stood[0]
	for i := range stood {
		end := until
		if i+1 < len(stood) {
			end = stood[i+1].At
		}
		a, err1 := one.rerun(h, first, end, runs)
		b, err2 := other.rerun(h, second, end, atRest)
		if err := errors.Join(err1, err2); err != nil {
			return ran, bare, false, fmt.Errorf("a night lived again: %w", err)
		}
		if i+1 < len(stood) {
			first, second = anew(stood[i+1], a, b)
		}
	}
	return one.lived(), other.lived(), true, nil
}

// again is a stretch that is to be lived again.
func again(past *remembered, from Begun, minimum quantity.Celsius) *living {
	return &living{past: past, minimum: float64(minimum), x: Relived{At: from.At, Was: 99, Coldest: 99}}
}

// anew is how two that were lived go on, where the first is told how it stood.
func anew(stood Begun, ran, bare plant.State) (first, second Begun) {
	if math.IsNaN(float64(stood.Bed)) {
		stood.Bed = ran.Bed
	}
	first, second = stood, stood
	second.Tunnel = bare.Tunnel + stood.Tunnel - ran.Tunnel
	second.Bed = bare.Bed + stood.Bed - ran.Bed
	return first, second
}

// rerun a house from how it stood up to a time, and say how it stands then.
func (l *living) rerun(h House, d Begun, end time.Time, runs Runs) (plant.State, error) {
	l.past.begin(&h, d)
	p, err := plant.New(h.Plant, d.At, h.Start)
	if err != nil {
		return plant.State{}, err
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
	return p.Now(), nil
}
