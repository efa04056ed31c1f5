package fit

import "math"

// The figures of a fit, in the order in which they are told; those from ofFanHeat on only
// help the others.
const (
	ofTankLoss = iota
	ofCoil
	ofExponent
	ofElement
	ofAir
	ofCover
	ofBed
	ofBedToAir
	ofBedToSoil
	ofAirSun
	ofBedSun
	ofFanHeat
	ofStill
	ofBlown
	ofSoil
	ofOffset
	ofTankOffset
	ofBed0
	ofBed1
	ofBed2
	figures // how many
)

// figure is how one is searched: as the logarithm of its ratio to the file's, or as a
// difference to it.
type figure struct {
	name, unit string
	log        bool
	// prior is how far the file's value is taken to be off, one standard deviation;
	// reach is how far a search may go.
	prior, reach float64
	// slack is what the model itself may be off, as a share: a coil that knows the mix, a
	// probe that lags, a sun that is told by a voltage.
	slack float64
}

// The priors are weak, so that the record speaks: a file's figure may be half or twice what
// is there. How far probes stand apart is what the makers of common ones allow. The reach
// is four times either way. The slacks were found on random plants richer than the model
// (TestAnyPlant). All are choices of ours.
var table = [figures]figure{
	ofTankLoss:   {"tank loss", "W/K", true, wide, far, 0.025},
	ofCoil:       {"coil", "W/K", true, wide, far, 0.05},
	ofExponent:   {"coil by speed", "", false, 0.2, 0.5, 0.04},
	ofElement:    {"element", "W", true, wide, far, 0.05},
	ofAir:        {"tunnel air heat", "J/K", true, wide, far, 0.05},
	ofCover:      {"tunnel cover", "W/K", true, wide, far, 0.025},
	ofBed:        {"bed heat", "J/K", true, wide, far, 0.05},
	ofBedToAir:   {"bed to air", "W/K", true, wide, far, 0.03},
	ofBedToSoil:  {"bed to soil", "W/K", true, wide, far, 0.07},
	ofAirSun:     {"sun on air", "W", true, wide, far, 0.05},
	ofBedSun:     {"sun on bed", "W", true, wide, far, 0.05},
	ofFanHeat:    {"fan heat", "W", true, 0.1, far, 0},
	ofStill:      {"pipes at rest", "W/K", true, 0.5, far, 0},
	ofBlown:      {"coil at rest, blown", "W/K", true, 0.5, far, 0},
	ofSoil:       {"soil", "°C", false, 2, 8, 0},
	ofOffset:     {"greenhouse probe", "K", false, 0.2, 1, 0},
	ofTankOffset: {"tank probe", "K", false, 0.2, 1, 0},
	ofBed0:       {"bed at first", "K", false, 5, 15, 0},
	ofBed1:       {"bed after a hole", "K", false, 5, 15, 0},
	ofBed2:       {"bed after a hole", "K", false, 5, 15, 0},
}

const (
	wide = 0.7                // of a logarithm
	far  = 1.3862943611198906 // ln 4
)

// helpers begin where figures are only helped along and never told.
const helpers = ofFanHeat

// at is where a model keeps a figure.
func (m *Model) at(i int) *float64 {
	return [figures]*float64{
		&m.TankLoss, &m.Coil, &m.Exponent, &m.Element, &m.Air, &m.Cover, &m.Bed, &m.BedToAir,
		&m.BedToSoil, &m.AirSun, &m.BedSun, &m.FanHeat, &m.Still, &m.Blown, &m.Soil, &m.Offset, &m.TankOffset, &m.BedAt[0], &m.BedAt[1], &m.BedAt[2],
	}[i]
}

// moved is a model with its figures moved.
func (m Model) moved(by *[figures]float64) Model {
	for i, x := range by {
		if f := m.at(i); table[i].log {
			*f *= math.Exp(x)
		} else {
			*f += x
		}
	}
	return m
}

// searched says which figures a record can move at all: a figure that the file has as
// nothing stays, and so does the exponent where everything ran at one speed.
func (m *Model) searched(l *laid) (some []int) {
	for i := range table {
		switch {
		case table[i].log && *m.at(i) <= 0:
		case (i == ofElement || i == ofAirSun) && !l.heated:
		case i == ofExponent && !l.speeds():
		case i > ofBed0 && i-ofBed0 >= len(l.restarts):
		default:
			some = append(some, i)
		}
	}
	return some
}
