package trial

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Fitted is what a run says.
type Fitted struct {
	Power, PowerError float64 // W into the liquid, at full share
	Loss, LossError   float64 // W/K
	First             float64 // °C
	Noise             float64 // K: what the readings scatter about the curve
	With              float64 // correlation of power and loss
	Lasting           float64 // correlation of one reading's scatter with the next's
	Wander            float64 // K: by how much the readings leave the curve for longer than one
	Unsteady          bool    // they do so by more than chance: the power was not what it was told to be
}

// How a fit goes. Our choices: twelve steps are many for a curve so nearly straight.
const (
	steps    = 30
	enough   = 1e-9 // of a step, as a share
	settled  = 1e-5 // the same, without which nothing was found
	flat     = 1e12 // condition number above which a run says too little
	leastOff = 1e-4 // K
)

// Fit finds power, loss and first temperature by least squares, Gauss and Newton's steps
// solved by QR (Golub & Van Loan, Matrix Computations, ch. 5). The errors are standard
// ones from the scatter about the curve, widened where one reading's scatter lasts into
// the next (for a first-order chain of correlation rho by (1+rho)/(1-rho), Box, Jenkins &
// Reinsel, Time Series Analysis, ch. 2). The error wraps ErrRun.
func Fit(r *Run) (Fitted, error) {
	if err := r.Validate(); err != nil {
		return Fitted{}, err
	}
	n := len(r.Readings)
	x := r.guess()
	out, slopes := make([]float64, n), [3][]float64{make([]float64, n), make([]float64, n), make([]float64, n)}
	j, off := mat.NewDense(n, 3, nil), mat.NewVecDense(n, nil)
	var qr mat.QR
	worst := math.Inf(1)
	for range steps {
		r.curve(x[0], x[1], x[2], out, &slopes)
		for i := range n {
			off.SetVec(i, r.Readings[i].Liquid-out[i])
			for k := range slopes {
				j.Set(i, k, slopes[k][i]*scales[k])
			}
		}
		qr.Factorize(j)
		if c := qr.Cond(); c > flat || math.IsNaN(c) {
			return Fitted{}, fmt.Errorf("%w: it tells too little of power and loss; heat and cool for longer", ErrRun)
		}
		var d mat.VecDense
		if err := qr.SolveVecTo(&d, false, off); err != nil {
			return Fitted{}, fmt.Errorf("%w: %w", ErrRun, err)
		}
		worst = 0
		for k := range x {
			x[k] += d.AtVec(k) * scales[k]
			worst = max(worst, math.Abs(d.AtVec(k)))
		}
		if worst < enough {
			break
		}
	}
	if !(worst < settled) {
		return Fitted{}, fmt.Errorf("%w: no curve of a constant loss fits it", ErrRun)
	}
	r.curve(x[0], x[1], x[2], out, &slopes)
	return r.told(x, out, j)
}

// Curve is the liquid's temperature at every reading of the run by what was fitted, °C.
func (f *Fitted) Curve(r *Run) []float64 {
	n := len(r.Readings)
	out, slopes := make([]float64, n), [3][]float64{make([]float64, n), make([]float64, n), make([]float64, n)}
	r.curve(f.Power, f.Loss, f.First, out, &slopes)
	return out
}

// scales make the three figures alike in size: W, W/K, K.
var scales = [3]float64{100, 1, 1}

// guess is where a fit starts: no loss, the mean slope's power.
func (r *Run) guess() [3]float64 {
	first, last := r.Readings[0], r.Readings[len(r.Readings)-1]
	on := 0.0
	for i := 1; i < len(r.Readings); i++ {
		on += r.Readings[i-1].On * (r.Readings[i].At - r.Readings[i-1].At)
	}
	power := 0.0
	if on > 0 {
		power = r.Heat * (last.Liquid - first.Liquid) / on
	}
	return [3]float64{power, 0.1, first.Liquid}
}

// told are the figures with their errors.
func (r *Run) told(x [3]float64, out []float64, j *mat.Dense) (Fitted, error) {
	off := make([]float64, len(out))
	sum, lag := 0.0, 0.0
	for i := range out {
		off[i] = r.Readings[i].Liquid - out[i]
		sum += off[i] * off[i]
		if i > 0 {
			lag += off[i] * off[i-1]
		}
	}
	variance := max(sum/float64(len(out)-3), leastOff*leastOff)
	rho := min(max(lag/max(sum, leastOff), 0), 0.98)
	var normal mat.SymDense
	normal.SymOuterK(1, j.T())
	var chol mat.Cholesky
	if !chol.Factorize(&normal) {
		return Fitted{}, fmt.Errorf("%w: it tells too little of power and loss", ErrRun)
	}
	var cov mat.SymDense
	if err := chol.InverseTo(&cov); err != nil {
		return Fitted{}, fmt.Errorf("%w: %w", ErrRun, err)
	}
	wander, unsteady := r.wander(off)
	wide := variance * (1 + rho) / (1 - rho)
	return Fitted{
		Power: x[0], PowerError: scales[0] * math.Sqrt(wide*cov.At(0, 0)),
		Loss: x[1], LossError: scales[1] * math.Sqrt(wide*cov.At(1, 1)),
		First: x[2], Noise: math.Sqrt(variance), Lasting: rho,
		Wander: wander, Unsteady: unsteady,
		With: cov.At(0, 1) / math.Sqrt(cov.At(0, 0)*cov.At(1, 1)),
	}, nil
}
