package tune

import (
	"math"
	"math/rand/v2"
)

// Knob is one setting that may be turned.
type Knob struct {
	Key       string
	Low, High float64 // within which it is searched
	Step      float64 // to whole ones of which it is rounded
	Now       float64 // today's, which need be no whole step
}

// Set is a value for each knob, in their order.
type Set []float64

// round brings a value into a knob's range and onto its steps.
func (k *Knob) round(x float64) float64 {
	x = k.Low + math.Round((x-k.Low)/k.Step)*k.Step
	return min(max(math.Round(x*1e6)/1e6, k.Low), k.High)
}

// now is today's set.
func now(knobs []Knob) Set {
	s := make(Set, len(knobs))
	for i := range knobs {
		s[i] = knobs[i].Now
	}
	return s
}

// spread are n sets evenly over the ranges: of each knob every nth part is tried once (Latin
// hypercube: McKay, Beckman & Conover, Technometrics 21, 1979, 239). In every other one all
// knobs but one stand as today, each knob in its turn: what is set well is mostly set well, and
// where there are many knobs a set that turns all of them hardly ever hits.
func spread(knobs []Knob, n int, r *rand.Rand) []Set {
	all := make([]Set, n)
	for i := range all {
		all[i] = make(Set, len(knobs))
	}
	for j := range knobs {
		k := &knobs[j]
		for i, part := range r.Perm(n) {
			all[i][j] = k.round(k.Low + (k.High-k.Low)*(float64(part)+r.Float64())/float64(n))
		}
	}
	for i := 1; i < n; i += 2 {
		for j := range knobs {
			if j != i/2%len(knobs) {
				all[i][j] = knobs[j].Now
			}
		}
	}
	return all
}

// moved is how many knobs a step moves, in the mean, of few at most half. Our choice.
const moved = 2.0

// near is a set by a random step from another, some of its knobs moved by about so large a share
// of their ranges.
func near(knobs []Knob, from Set, by float64, r *rand.Rand) Set {
	s := append(Set(nil), from...)
	chance := min(0.5, moved/float64(len(knobs)))
	for j := range knobs {
		k := &knobs[j]
		if r.Float64() < chance {
			s[j] = k.round(s[j] + by*(k.High-k.Low)*r.NormFloat64())
		}
	}
	return s
}

func (s Set) equal(t Set) bool {
	for i := range s {
		if math.Abs(s[i]-t[i]) > 1e-9 {
			return false
		}
	}
	return true
}
