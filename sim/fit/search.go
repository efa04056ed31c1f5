package fit

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// search is one fit at work: Newton's method on half the damped squares, with the curvature
// of Gauss and Newton.
type search struct {
	file   Model
	laid   *laid
	of     []int // the figures searched
	widths [kinds]float64
	ready  moves
	base   []residual
	moved  []residual
	slope  [][]float64 // by figure, of each residual
	at     []float64   // where slope was taken
}

// nudge is the step of the differences, in a logarithm or in K.
const nudge = 1e-4

// kin is how many judged differences of a piece tell as much as one that stands alone: they
// follow each other. It only weighs them against the file's figures. Our choice.
const kin = 12

// firstWidths are K, before the record has told its own. Our choice.
var firstWidths = [kinds]float64{nightTank: 0.3, nightAir: 0.4, dayTank: 1, dayAir: 2, inBed: 0.5}

func newSearch(file *Model, l *laid) *search {
	s := &search{file: *file, laid: l, of: file.searched(l), widths: firstWidths}
	s.slope = make([][]float64, len(s.of))
	return s
}

// movements are the figures' movements at a point of the search.
func (s *search) movements(z []float64) (by [figures]float64) {
	for i, f := range s.of {
		by[f], _ = bound(z[i], table[f].reach)
	}
	return by
}

// cost is half the damped squares of the differences and of what the file says.
func (s *search) cost(z []float64) float64 {
	by := s.movements(z)
	m := s.file.moved(&by)
	s.moved = s.laid.simulate(&m, &s.ready, s.moved[:0])
	sum := 0.0
	for _, r := range s.moved {
		sum += half(r.off/s.widths[r.kind]) / kin
	}
	for _, f := range s.of {
		sum += by[f] * by[f] / (2 * table[f].prior * table[f].prior)
	}
	if math.IsNaN(sum) {
		return math.Inf(1)
	}
	return sum
}

// slopes are those of every difference by the figures themselves, not by z.
func (s *search) slopes(z []float64) {
	if s.at != nil && equal(s.at, z) {
		return
	}
	by := s.movements(z)
	m := s.file.moved(&by)
	s.base = s.laid.simulate(&m, &s.ready, s.base[:0])
	for i, f := range s.of {
		moved := by
		moved[f] += nudge
		m := s.file.moved(&moved)
		s.moved = s.laid.simulate(&m, &s.ready, s.moved[:0])
		s.slope[i] = s.slope[i][:0]
		for j := range s.base {
			s.slope[i] = append(s.slope[i], (s.moved[j].off-s.base[j].off)/nudge)
		}
	}
	s.at = append(s.at[:0], z...)
}

func equal(a, b []float64) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return len(a) == len(b)
}

// normal is the curvature and the gradient by the figures, with the priors.
func (s *search) normal(by *[figures]float64) (h *mat.SymDense, g []float64) {
	n := len(s.of)
	h, g = mat.NewSymDense(n, nil), make([]float64, n)
	for r, x := range s.base {
		w := s.widths[x.kind]
		in := x.off / w
		d := damp(in) / kin
		for i := range n {
			a := s.slope[i][r] / w
			g[i] += d * a * in
			for j := i; j < n; j++ {
				h.SetSym(i, j, h.At(i, j)+d*a*s.slope[j][r]/w)
			}
		}
	}
	for i, f := range s.of {
		p := 1 / (table[f].prior * table[f].prior)
		g[i] += p * by[f]
		h.SetSym(i, i, h.At(i, i)+p)
	}
	return h, g
}

// from searches downhill from a start and returns where it ended.
func (s *search) from(start []float64) ([]float64, float64, error) {
	s.at = nil
	problem := optimize.Problem{
		Func: s.cost,
		Grad: func(into, z []float64) {
			s.slopes(z)
			by := s.movements(z)
			_, g := s.normal(&by)
			for i, f := range s.of {
				_, steep := bound(z[i], table[f].reach)
				into[i] = g[i] * steep
			}
		},
		Hess: func(into *mat.SymDense, z []float64) {
			s.slopes(z)
			by := s.movements(z)
			h, _ := s.normal(&by)
			for i := range s.of {
				_, a := bound(z[i], table[s.of[i]].reach)
				for j := i; j < len(s.of); j++ {
					_, b := bound(z[j], table[s.of[j]].reach)
					into.SetSym(i, j, h.At(i, j)*a*b)
				}
			}
		},
	}
	settings := &optimize.Settings{
		MajorIterations: 40,
		Converger:       &optimize.FunctionConverge{Absolute: 1e-3, Relative: 1e-6, Iterations: 3},
	}
	found, err := optimize.Minimize(problem, start, settings, &optimize.Newton{})
	if found == nil {
		return nil, 0, fmt.Errorf("searching the figures: %w", err)
	}
	if math.IsInf(found.F, 0) || math.IsNaN(found.F) {
		return nil, 0, errNowhere
	}
	// At the bottom itself a line search finds nothing lower, and calls that a failure.
	if !found.Status.Early() && err == nil || flat(found.Gradient) {
		return found.X, found.F, nil
	}
	return nil, 0, fmt.Errorf("%w: %w", errNowhere, cmp.Or(err, errLong))
}

// level is the slope below which a search has come to its bottom: a step of a figure's whole
// prior would change the cost by less. Our choice.
const level = 0.1

func flat(slope []float64) bool {
	for _, g := range slope {
		if !(math.Abs(g) < level) {
			return false
		}
	}
	return len(slope) > 0
}

// errLong is a search that did not end.
var errLong = errors.New("the search did not end")

// errNowhere is a search that found nothing that can be.
var errNowhere = errors.New("no figures fit")
