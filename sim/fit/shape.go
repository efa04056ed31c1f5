package fit

import (
	"fmt"
)

// Shape is how a coil goes with the temperature of its tank, in steps of warmStep from
// coldest on.
type Shape [shapes]float64

// How finely and how far, K and °C. Our choices.
const (
	warmStep = 5.0
	coldest  = -20.0
	shapes   = 25
)

// NewShape is the shape of a coil whose conductance beside a tank at so many °C is told.
func NewShape(coil func(tank float64) (float64, error)) (*Shape, error) {
	full, err := coil(45)
	if err != nil {
		return nil, fmt.Errorf("the coil's shape: %w", err)
	}
	s := new(Shape)
	for i := range s {
		g, err := coil(coldest + warmStep*float64(i))
		if err != nil {
			return nil, fmt.Errorf("the coil's shape: %w", err)
		}
		s[i] = g / full
	}
	return s, nil
}
