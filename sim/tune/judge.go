package tune

import (
	"math/rand/v2"
	"slices"

	"duskloop/sim/season"
)

// Found is what a search came to.
type Found struct {
	// Best is the set to take, nil where nothing beats today's.
	Best  Set
	Taken Tried  // the same, with what it came to on the searched stretches
	Why   string // where nothing does
	// Tried are the sets flown over all that was searched, the cheapest first.
	Tried []Tried
	// Today, Idle and Then are the judged stretches one by one: today's settings, without
	// heat, the best set.
	Today, Idle, Then []season.Spent
	// Doubted are the costs of today's and of the best set on drawn greenhouses.
	Doubted [][2]float64
	Effects []Effect
	Trade   Trade
}

// What a set must show. Our choices: a left-out month may be so much worse and no more; the gain
// over all of them must be so large, and half of it on every greenhouse drawn; of two sets
// nearer than asGood one is as good as the other, and the one with fewer changes is taken.
const (
	worse    = 0.02
	leastK2h = 0.5 // that a month may be worse although it is a large share of nearly nothing
	gain     = 0.01
	asGood   = 0.005
	around   = 5 // values looked at on either side
)

// Run searches, judges and explains.
func Run(s Search, fly Fly) (*Found, error) {
	x := &searching{Search: s, fly: fly, random: rand.New(rand.NewPCG(s.Seed, 0x74756e65))}
	if err := x.search(); err != nil {
		return nil, err
	}
	out := &Found{Trade: s.Trade}
	today := x.tried[0]
	out.Tried = slices.Clone(x.tried)
	rank(out.Tried)
	if err := x.judge(out, today); err != nil {
		return nil, err
	}
	return out, nil
}

// months flies a set over what is judged, stretch by stretch.
func (x *searching) months(set Set, idle bool) ([]season.Spent, error) {
	var asks []Ask
	for _, m := range x.Judged {
		asks = append(asks, Ask{Set: set, Stretch: m, Idle: idle})
	}
	return x.fly(asks)
}

// judge takes the first of the finalists that no month speaks against, in the order of the
// search: to take the best of many by the months that judge would be to search on them.
func (x *searching) judge(out *Found, today Tried) (err error) {
	if out.Today, err = x.months(today.Set, false); err != nil {
		return err
	}
	if out.Idle, err = x.months(today.Set, true); err != nil {
		return err
	}
	out.Why = "no set that was tried is better than today's on the weather that it was searched on"
	for _, t := range out.Tried[:min(finalists, len(out.Tried))] {
		if t.Cost >= today.Cost*(1-gain) {
			break
		}
		plain, err := x.plain(t, today)
		if err != nil {
			return err
		}
		months, err := x.months(plain.Set, false)
		if err != nil {
			return err
		}
		switch {
		case plain.Cost >= today.Cost*(1-gain):
			out.Why = "what the best sets have over today's is too little to change anything for"
		case x.spoils(out.Today, months):
			out.Why = "every set that is better in the mean spoils a month that it was not searched on"
		case x.total(months) >= x.total(out.Today)*(1-gain):
			out.Why = "what is better on the weather searched is not on the weather left out"
		default:
			out.Best, out.Taken, out.Then, out.Why = plain.Set, plain, months, ""
			if err := x.doubt(out, today); err != nil || out.Best == nil {
				return err
			}
			return x.explain(out)
		}
	}
	return nil
}

func (x *searching) total(all []season.Spent) (sum float64) {
	for _, m := range all {
		sum += x.Trade.cost(m)
	}
	return sum
}

// spoils says that a month is worse by more than may be.
func (x *searching) spoils(today, then []season.Spent) bool {
	for i := range today {
		a, b := x.Trade.cost(today[i]), x.Trade.cost(then[i])
		if b > a*(1+worse) && b > a+leastK2h || then[i].Squared > today[i].Squared*(1+worse)+leastK2h {
			return true
		}
	}
	return false
}

// plain puts back every knob whose turn brings nothing, the one that brings least first, as long
// as all of them together cost no more than asGood.
func (x *searching) plain(t, today Tried) (Tried, error) {
	most := t.Cost * (1 + asGood)
	for {
		var sets []Set
		for j := range x.Knobs {
			if t.Set[j] != today.Set[j] {
				s := slices.Clone(t.Set)
				s[j] = today.Set[j]
				sets = append(sets, s)
			}
		}
		if len(sets) == 0 {
			return t, nil
		}
		all, err := x.fliers(sets, x.Searched, false)
		if err != nil {
			return t, err
		}
		rank(all)
		if all[0].Cost > most {
			return t, nil
		}
		t = all[0]
	}
}

// doubt compares the best with today's on greenhouses that the fit does not rule out, on the
// months that judge; where it is not better on each nothing is changed.
func (x *searching) doubt(out *Found, today Tried) error {
	var asks []Ask
	for d := 1; d <= x.Draws; d++ {
		for _, set := range []Set{today.Set, out.Best} {
			for _, m := range x.Judged {
				asks = append(asks, Ask{Set: set, Stretch: m, Draw: d})
			}
		}
	}
	got, err := x.fly(asks)
	if err != nil {
		return err
	}
	n := len(x.Judged)
	for d := range x.Draws {
		a, b := x.total(got[2*d*n:(2*d+1)*n]), x.total(got[(2*d+1)*n:(2*d+2)*n])
		out.Doubted = append(out.Doubted, [2]float64{a, b})
		if b >= a*(1-gain/2) {
			out.Best, out.Then = nil, nil
			out.Why = "the best set is not clearly better on every greenhouse that the figures' own errors allow"
		}
	}
	return nil
}
