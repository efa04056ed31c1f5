package trial

import (
	"errors"
	"fmt"
	"math"
)

// Reading is a moment of a run.
type Reading struct {
	At     float64 // s since the run's first
	Liquid float64 // °C
	Air    float64 // °C, around the vessel
	On     float64 // share of the power that is on until the next reading, 0 to 1.5
}

// Run is one heating, or cooling, or both, in the order of time.
type Run struct {
	Name     string
	Readings []Reading
	Heat     float64 // J/K, of liquid and vessel
}

// ErrRun is a run that cannot be judged; the error that wraps it says why.
var ErrRun = errors.New("no run that can be judged")

// What a run must have. The least readings are our choice: three figures are sought.
const (
	leastReadings = 8
	mostOn        = 1.5
	coldest       = -40.0
	hottest       = 150.0
)

// Validate the run. The error wraps ErrRun.
func (r *Run) Validate() error {
	switch {
	case len(r.Readings) < leastReadings:
		return fmt.Errorf("%w: %d readings, %d are needed", ErrRun, len(r.Readings), leastReadings)
	case !(r.Heat > 0) || math.IsInf(r.Heat, 1):
		return fmt.Errorf("%w: a heat capacity of %v J/K", ErrRun, r.Heat)
	}
	for i, x := range r.Readings {
		if !within(x.Liquid, coldest, hottest) || !within(x.Air, coldest, hottest) || !within(x.On, 0, mostOn) {
			return fmt.Errorf("%w: reading %d has a figure that cannot be", ErrRun, i+1)
		}
		if math.IsInf(x.At, 0) || math.IsNaN(x.At) || i > 0 && !(x.At > r.Readings[i-1].At) {
			return fmt.Errorf("%w: reading %d is not after the one before", ErrRun, i+1)
		}
	}
	return nil
}

func within(x, low, high float64) bool { return x >= low && x <= high }

// curve is the liquid's temperature at every reading by power [W], loss [W/K] and first
// temperature [°C], with its slopes by these three.
func (r *Run) curve(power, loss, first float64, out []float64, slopes *[3][]float64) {
	t, byP, byU, byT := first, 0.0, 0.0, 1.0
	for i := range r.Readings {
		out[i], slopes[0][i], slopes[1][i], slopes[2][i] = t, byP, byU, byT
		if i+1 == len(r.Readings) {
			return
		}
		x, next := &r.Readings[i], &r.Readings[i+1]
		h, air := (next.At-x.At)/r.Heat, (x.Air+next.Air)/2
		stays, gains := decay(loss * h)
		// T' = T stays + (P s + UA Ta) h gains, gains = (1-e^-z)/z, z = UA h
		stays1, gains1 := -h*stays, h*decaySlope(loss*h)
		heat := power*x.On + loss*air
		byP = byP*stays + x.On*h*gains
		byU = byU*stays + t*stays1 + air*h*gains + heat*h*gains1
		byT *= stays
		t = t*stays + heat*h*gains
	}
}

// decay is e^-z, and (1-e^-z)/z.
func decay(z float64) (stays, mean float64) {
	if math.Abs(z) < 1e-6 {
		return math.Exp(-z), 1 - z/2
	}
	return math.Exp(-z), -math.Expm1(-z) / z
}

// decaySlope is the slope of (1-e^-z)/z by z.
func decaySlope(z float64) float64 {
	if math.Abs(z) < 1e-4 {
		return -0.5 + z/3
	}
	return (math.Exp(-z)*(z+1) - 1) / (z * z)
}
