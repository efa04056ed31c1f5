package season

import (
	"math/rand/v2"

	"duskloop/sensors/quantity"
)

// How wrong a doubtful house is: every figure of the plan's model by up to so large a
// share, the battery's meter and its printed capacity by up to the other.
const (
	wrongFigures = 0.25
	wrongBattery = 0.10
)

// Doubtful is a house whose plan believes figures that are wrong at random, evenly within
// a quarter of each, and reads its battery wrong within a tenth. The plant stays.
func Doubtful(h House, draw uint64) House {
	r := rand.New(rand.NewPCG(draw, 0x646f756274))
	by := func(most float64) float64 { return 1 + most*(2*r.Float64()-1) }
	t := &h.Night.Twin
	for _, x := range []*float64{
		&t.Tank, &t.TankLoss, &t.Coil, &t.Element, &t.Air, &t.Cover, &t.Bed, &t.BedToAir,
		&t.BedToSoil, &t.AirSun, &t.BedSun, &t.FanHeat, &t.Draw, &t.Panel,
	} {
		*x *= by(wrongFigures)
	}
	h.Probes.Meter.AmpereGain = by(wrongBattery)
	h.Settings.Battery.Capacity *= quantity.AmpereHour(by(wrongBattery))
	h.Probes.Seed += draw
	return h
}

// Doubt flies the plan of a doubtful house; draws count from 1.
func (b Bench) Doubt(draw int) (Score, error) {
	b.House = Doubtful(b.House, uint64(draw))
	f, err := b.plan(nil)
	f.Score.Policy, f.Score.Draw = PolicyPlan, draw
	return f.Score, err
}
