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

// Rerun lives a recorded stretch again up to a time, by no decision: once with pump and fans
// as they ran, to see how far the house is off the record, and beside it at rest, to see what
// would have come without heat. It begins as it stood. Wherever it is told how it stood again,
// in the order of time, the first begins anew from there; the second is moved by as much as
// the first was, so that heat that was given before is not given to it. A bed that is NaN then
// goes on as it was lived.
//
// Air and sun are those that a memory holds; not ok where too little of the air is remembered.
// Beside a tunnel at rest the greenhouse is colder than that, by what the tunnel did not give
// it. The tunnel's air is what the house's probe says of it, late as it is: so was the
// record's. Cold is counted below a minimum, in K²h. The memory is not changed.
func Rerun(h House, m *night.Memory, stood []Begun, until time.Time, minimum quantity.Celsius, runs Runs) (ran, bare Relived, ok bool, err error) {
	past := &remembered{memory: m, site: h.Plant.Site.Track()}
	if len(stood) == 0 || !past.covers(stood[0].At, until) {
		return ran, bare, false, nil
	}
	colder := newColder(&h.Plant)
	one, other := again(past, stood[0], minimum), again(past, stood[0], minimum)
	first, second := stood[0], stood[0]
	for i := range stood {
		end := until
		if i+1 < len(stood) {
			end = stood[i+1].At
		}
		err = errors.Join(one.enter(h, first), other.enter(h, second))
		if err != nil {
			return ran, bare, false, fmt.Errorf("a night lived again: %w", err)
		}
		for one.plant.Clock().Before(end) {
			pump, fans := runs(one.plant.Clock().Add(minute / 2))
			one.step(plant.Act{Pump: pump, Fans: fans}, 0)
			other.step(plant.Act{}, colder.by)
			colder.pass(one.plant.Now(), other.plant.Now())
		}
		if i+1 < len(stood) {
			first, second = anew(stood[i+1], one.plant.Now(), other.plant.Now())
		}
		one.leave()
		other.leave()
	}
	return one.lived(), other.lived(), true, nil
}

// anew is how two that were lived go on, where the first is told how it stood.
func anew(stood Begun, ran, bare plant.State) (first, second Begun) {
	if math.IsNaN(float64(stood.Bed)) {
		stood.Bed = ran.Bed
	}
	first, second = stood, stood
	second.Tank += bare.Tank - ran.Tank
	second.Tunnel += bare.Tunnel - ran.Tunnel
	second.Bed += bare.Bed - ran.Bed
	return first, second
}

// rerun is a stretch that is lived again by a plant alone.
type rerun struct {
	living
	plant  *plant.Plant
	probes *plant.Probes
}

func again(past *remembered, from Begun, minimum quantity.Celsius) *rerun {
	return &rerun{living: living{past: past, minimum: float64(minimum), x: Relived{At: from.At, Was: 99, Coldest: 99}}}
}

// enter a house as it stood.
func (r *rerun) enter(h House, d Begun) (err error) {
	r.past.begin(&h, d)
	if r.plant, err = plant.New(h.Plant, d.At, h.Start); err == nil {
		r.probes = plant.NewProbes(h.Probes, r.plant.Now())
	}
	return err
}

// step for a minute beside a greenhouse that is colder by so much than remembered.
func (r *rerun) step(act plant.Act, colder float64) {
	act.ElementConnected = true
	sky := r.past.At(r.plant.Clock().Add(minute / 2))
	sky.Air -= quantity.Celsius(colder)
	sky.DewPoint -= quantity.Celsius(colder)
	r.plant.Step(minute, act, sky)
	r.probes.Read(r.plant.Now(), minute)
	air, _ := r.probes.At(plant.AtTunnel)
	r.take(r.plant.Clock(), air)
}

// leave the house.
func (r *rerun) leave() { r.x.Used += float64(r.plant.Meters().BatteryUsed) }
