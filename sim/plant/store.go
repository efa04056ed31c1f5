package plant

import (
	"fmt"
	"math"

	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
)

// store is a mass of liquid whose specific heat changes with temperature: a table
// of heat content against temperature in whole kelvins, straight between. The
// tank keeps its heat, and temperature follows from it, so that nothing is lost in
// between. Below the freezing point the specific heat of the freezing point
// stands; ice is not modelled.
type store struct {
	mass    float64 // kg
	boiling float64 // °C
	freeze  float64 // °C
	content []float64
}

// coldest is the temperature of the table's first entry.
const coldest = -60

// newStore is the store of a volume measured at 20 °C.
func newStore(mix fluid.Mix, volume quantity.Litre) (*store, error) {
	rho, err := mix.Density(20)
	if err != nil {
		return nil, fmt.Errorf("filling the tank: %w", err)
	}
	s := &store{
		mass:    float64(rho) * float64(volume) / 1000,
		boiling: float64(mix.Boiling()),
		freeze:  float64(mix.Freezing()),
		content: []float64{0},
	}
	for t := coldest + 0.5; t < s.boiling+1; t++ {
		at := math.Min(math.Max(t, s.freeze+1e-9), float64(fluid.MaxTemp))
		cp, err := mix.SpecificHeat(quantity.Celsius(at))
		if err != nil {
			return nil, fmt.Errorf("filling the tank: %w", err)
		}
		s.content = append(s.content, s.content[len(s.content)-1]+s.mass*float64(cp))
	}
	return s, nil
}

// segment of the table that holds t.
func (s *store) segment(t float64) int {
	return min(max(int(t-coldest), 0), len(s.content)-2)
}

// capacity in J/K at t.
func (s *store) capacity(t float64) float64 {
	i := s.segment(t)
	return s.content[i+1] - s.content[i]
}

// specific heat in J/kgK at t.
func (s *store) specific(t float64) float64 { return s.capacity(t) / s.mass }

// heat content in J at t.
func (s *store) heat(t float64) float64 {
	i := s.segment(t)
	return s.content[i] + (t-coldest-float64(i))*(s.content[i+1]-s.content[i])
}

// temperature at a heat content, searched from a temperature near it.
func (s *store) temperature(heat, near float64) float64 {
	i := s.segment(near)
	for i > 0 && heat < s.content[i] {
		i--
	}
	for i < len(s.content)-2 && heat >= s.content[i+1] {
		i++
	}
	return coldest + float64(i) + (heat-s.content[i])/(s.content[i+1]-s.content[i])
}
