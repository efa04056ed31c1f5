package foresight

import (
	"fmt"
	"math"
)

// Sky is what comes from outside, minute by minute: slices of one length.
type Sky struct {
	Outdoors []float64 // °C
	GHI      []float64 // W/m², global horizontal
	Element  []float64 // W that the panel gives the element while the tank lets it
	Charge   []float64 // W that the battery's panel gives at most
}

// check refuses a sky that is torn, or dark where it must not be.
func (s *Sky) check() error {
	n := len(s.Outdoors)
	if n == 0 || len(s.GHI) != n || len(s.Element) != n || len(s.Charge) != n {
		return fmt.Errorf("%w: %d, %d, %d and %d minutes of outdoors, sun, element and charge",
			ErrPlant, n, len(s.GHI), len(s.Element), len(s.Charge))
	}
	for i := range n {
		sum := s.GHI[i] + s.Element[i] + s.Charge[i]
		if s.GHI[i] < 0 || s.Element[i] < 0 || s.Charge[i] < 0 || !(math.Abs(s.Outdoors[i])+sum < 1e6) {
			return fmt.Errorf("%w: minute %d has %v °C, %v W/m², %v W and %v W",
				ErrPlant, i, s.Outdoors[i], s.GHI[i], s.Element[i], s.Charge[i])
		}
	}
	return nil
}

// minute is one minute of the sky as the recursion wants it.
type minute struct {
	outdoors float64 // °C
	house    float64 // W: sun, and HouseOut x outdoors
	air, bed float64 // W: sun, and on the bed what the soil gives at its temperature
	element  float64 // W
	charge   float64 // Wh into the battery, base load taken off
}

// minutes folds a sky into the plant.
func (p *Plant) minutes(s *Sky) []minute {
	all := make([]minute, len(s.Outdoors))
	for i := range all {
		sun := s.GHI[i] * p.TunnelSun
		all[i] = minute{
			outdoors: s.Outdoors[i],
			house:    p.HouseOut*s.Outdoors[i] + p.HouseSun*s.GHI[i],
			air:      sun * (1 - p.SunToBed),
			bed:      sun*p.SunToBed + p.BedToSoil*p.Soil,
			element:  s.Element[i],
			charge:   (p.Battery.ChargeEfficiency*s.Charge[i] - p.Battery.Base) / 60,
		}
	}
	return all
}
