package tune

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"duskloop/sim/season"
)

// Ask is one flight that a search wants.
type Ask struct {
	Set     Set
	Stretch int  // of the winters
	Short   bool // only its first part, to sort out what is hopeless
	Draw    int  // which greenhouse: 0 the one believed in, others drawn about it
	Idle    bool // pump and fans at rest
}

// Fly answers asks, in their order.
type Fly func([]Ask) ([]season.Spent, error)

// Forbidden is what a set costs, at least, that cannot stand, K²h.
const Forbidden = 1e9

// Trade is what a kilowatt-hour of the battery and a start of the pump are worth, in K²h.
type Trade struct{ Battery, Start float64 }

// usual trades little: the crop comes first, and of two sets that serve it alike the one that
// spares battery and pump is taken. Our choice.
var usual = Trade{Battery: 1, Start: 0.002}

// Usual is the trade where the grower does not say otherwise.
func Usual() Trade { return usual }

// cost of what was spent.
func (t Trade) cost(x season.Spent) float64 {
	return x.Squared + t.Battery*x.Battery + t.Start*x.Starts
}

// Search is what to search.
type Search struct {
	Knobs []Knob
	Trade Trade
	Sets  int // how many are tried
	Seed  uint64
	// Searched and Judged are stretches: sets are searched on the first and judged on the
	// others.
	Searched, Judged []int
	// Draws of the greenhouse within what is not known of it.
	Draws int
}

// Tried is a set and what it cost on the searched stretches.
type Tried struct {
	Set  Set
	Cost float64
	Sum  season.Spent
}

// The rounds of a search, and how many go on from one to the next. Our choices.
const (
	roundOf   = 16   // sets a round of steps
	goesOn    = 0.25 // of the sets that were sorted
	parents   = 4
	firstBy   = 0.2 // of a range
	lastBy    = 0.05
	finalists = 3
)

// ErrNothing is a search with nothing to search.
var ErrNothing = errors.New("nothing to search")

// searching is a search at work.
type searching struct {
	Search
	fly    Fly
	random *rand.Rand
	tried  []Tried // on whole stretches, in the order tried
}

// fliers asks for sets over stretches and sums each set's answers.
func (s *searching) fliers(sets []Set, stretches []int, short bool) ([]Tried, error) {
	var asks []Ask
	for _, set := range sets {
		for _, x := range stretches {
			asks = append(asks, Ask{Set: set, Stretch: x, Short: short})
		}
	}
	got, err := s.fly(asks)
	if err != nil {
		return nil, err
	}
	if len(got) != len(asks) {
		return nil, fmt.Errorf("asked for %d flights and told of %d", len(asks), len(got))
	}
	all := make([]Tried, len(sets))
	for i := range sets {
		all[i].Set = sets[i]
		for j := range stretches {
			all[i].Sum = all[i].Sum.Plus(got[i*len(stretches)+j])
		}
		all[i].Cost = s.Trade.cost(all[i].Sum)
	}
	return all, nil
}

// sorted tries sets on short stretches and keeps the best share of them.
func (s *searching) sorted(sets []Set, keep int) ([]Set, error) {
	all, err := s.fliers(sets, s.Searched, true)
	if err != nil {
		return nil, err
	}
	rank(all)
	var best []Set
	for _, x := range all[:min(keep, len(all))] {
		best = append(best, x.Set)
	}
	return best, nil
}

// rank puts the cheapest first; of equals the one tried first.
func rank(all []Tried) {
	slices.SortStableFunc(all, func(a, b Tried) int { return cmp.Compare(a.Cost, b.Cost) })
}

// try flies sets over all that is searched; those tried before are not flown again.
func (s *searching) try(sets []Set) error {
	var fresh []Set
	for _, x := range sets {
		known := func(t Tried) bool { return t.Set.equal(x) }
		if !slices.ContainsFunc(s.tried, known) && !slices.ContainsFunc(fresh, x.equal) {
			fresh = append(fresh, x)
		}
	}
	all, err := s.fliers(fresh, s.Searched, false)
	s.tried = append(s.tried, all...)
	return err
}

// search spreads sets over the ranges, and then steps from the best, ever closer.
func (s *searching) search() error {
	if len(s.Knobs) == 0 || len(s.Searched) == 0 || len(s.Judged) == 0 || s.Sets < roundOf {
		return ErrNothing
	}
	if err := s.try([]Set{now(s.Knobs)}); err != nil {
		return err
	}
	wide := s.Sets / 2
	best, err := s.sorted(spread(s.Knobs, wide, s.random), max(parents, int(goesOn*float64(wide))))
	if err == nil {
		err = s.try(best)
	}
	if err != nil {
		return err
	}
	rounds := max(1, (s.Sets-wide)/roundOf)
	for k := range rounds {
		by := firstBy * math.Pow(lastBy/firstBy, float64(k)/float64(max(rounds-1, 1)))
		ranked := slices.Clone(s.tried)
		rank(ranked)
		var next []Set
		for i := range roundOf {
			next = append(next, near(s.Knobs, ranked[i%min(parents, len(ranked))].Set, by, s.random))
		}
		if next, err = s.sorted(next, roundOf/2); err == nil {
			err = s.try(next)
		}
		if err != nil {
			return err
		}
	}
	return nil
}
