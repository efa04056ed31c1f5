package fit

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// ErrTooLittle is a record that holds too little to be fitted.
var ErrTooLittle = errors.New("too little of the record can be used")

// Options are what is known beside the record.
type Options struct {
	File Model // by the greenhouse file
	// Cells are the battery by the file; nil: nothing is told of it.
	Cells *Cells
	Noon  int // a minute of the record that is noon at the place; may be negative
	// Starts are how many searches begin, from the file's figures and from random ones
	// about them; 0 means 4.
	Starts int
	Seed   uint64
}

// least is how many judged differences there must be: about a day's. Our choice.
const least = 2 * 24 * 60 / judgeEvery

// rounds are how often the widths are taken anew from what the figures leave.
const rounds = 3

// solved is a fit before anything is told of it.
type solved struct {
	search *search
	z      []float64
	by     [figures]float64
	model  Model
}

// solve searches the figures from several starts.
func solve(l *laid, o *Options) (*solved, error) {
	s := newSearch(&o.File, l)
	var ready moves
	if n := len(l.simulate(&o.File, &ready, nil)); n < least {
		return nil, fmt.Errorf("%w: %d differences of %d", ErrTooLittle, n, least)
	}
	best, err := s.best(o)
	if err != nil {
		return nil, err
	}
	for range rounds {
		s.widen(best)
		if best, _, err = s.from(best); err != nil {
			return nil, err
		}
	}
	by := s.movements(best)
	return &solved{search: s, z: best, by: by, model: o.File.moved(&by)}, nil
}

// best of several starts.
func (s *search) best(o *Options) (best []float64, err error) {
	random := rand.New(rand.NewPCG(o.Seed, 0x666974))
	starts := o.Starts
	if starts == 0 {
		starts = 4
	}
	lowest := math.Inf(1)
	for k := range starts {
		start := make([]float64, len(s.of))
		for i, f := range s.of {
			if k > 0 && table[f].log {
				start[i] = random.NormFloat64() * table[f].prior
			}
		}
		z, cost, e := s.from(start)
		if e != nil {
			err = e
		} else if cost < lowest {
			best, lowest = z, cost
		}
	}
	if best == nil {
		return nil, err
	}
	return best, nil
}

// leastWidth is the smallest that a difference is taken to be known to, K: half a step of a
// common probe, and its noise.
const leastWidth = 0.05

// widen takes the widths from what a point of the search leaves: 1.4826 times the median of
// the sizes is a standard deviation where they are normal, and outliers do not move it.
func (s *search) widen(z []float64) {
	s.slopes(z)
	var of [kinds][]float64
	for _, r := range s.base {
		of[r.kind] = append(of[r.kind], math.Abs(r.off))
	}
	for k, all := range of {
		if len(all) < 50 {
			continue
		}
		slices.Sort(all)
		s.widths[k] = max(leastWidth, 1.4826*all[len(all)/2])
	}
	s.at = nil
}
