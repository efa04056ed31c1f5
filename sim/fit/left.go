package fit

import (
	"math"
	"slices"
)

// Night is how well one was foretold by a fit that had not seen it: from dusk to dawn, from
// tank and air as they stood, with the greenhouse and the pump as they were.
type Night struct {
	Noon      int     // minute of the record at which it begins; it lasts a day
	Air, Tank float64 // root mean square of what was foretold less what came, K
	Minutes   int     // compared
	// Offs are what was foretold of the air less what came, K, every five minutes.
	offs []float64
}

// folds are how many parts of the nights are left out in turn.
const folds = 3

// shortest night that is judged, in minutes of the dark.
const shortest = 4 * 60

// leaveOut foretells every night by a fit of the others.
func (s *solved) leaveOut() (all []Night, err error) {
	l := s.search.laid
	nights := l.nights()[1:] // before the first nobody knows how warm the bed is
	for f := range folds {
		var out []int
		for i, n := range nights {
			if i%folds == f {
				out = append(out, n)
			}
		}
		if len(out) == 0 {
			continue
		}
		without := *s.search
		without.laid, without.at = l.without(out), nil
		z, _, err := without.from(s.z)
		if err != nil {
			return nil, err
		}
		by := without.movements(z)
		m := s.search.file.moved(&by)
		all = append(all, l.foretell(&m, out)...)
	}
	slices.SortFunc(all, func(a, b Night) int { return a.Noon - b.Noon })
	return all, nil
}

// nights that are not left out, in order.
func (l *laid) nights() (all []int) {
	for k, n := range l.night {
		if n >= 0 && l.judged[k] && (len(all) == 0 || all[len(all)-1] != n) {
			all = append(all, n)
		}
	}
	return all
}

// without is the record with nights that are not judged.
func (l *laid) without(out []int) *laid {
	next := *l
	next.night = slices.Clone(l.night)
	for k, n := range next.night {
		if slices.Contains(out, n) {
			next.night[k] = -1
		}
	}
	return &next
}

// foretell walks a model freely through the dark of some nights, from dusk and after every hole.
func (l *laid) foretell(m *Model, out []int) (all []Night) {
	free := *l
	free.begins, free.judged = slices.Clone(l.begins), slices.Clone(l.judged)
	first := make(map[int]int)
	for k, n := range l.night {
		if !slices.Contains(out, n) || !l.dark[k] {
			continue
		}
		if _, begun := first[n]; !begun && l.driven[k] && known(l.tank[k]) && !l.forced[k] {
			first[n], free.begins[k] = k, true
			continue
		}
		free.begins[k] = k > 0 && !l.driven[k-1] && l.driven[k] && known(l.tank[k]) && !l.forced[k] // after a hole anew
		free.judged[k] = k%judgeEvery == 0 && known(l.tank[k])
	}
	var ready moves
	res := free.simulate(m, &ready, nil)
	for _, n := range out {
		if x, ok := free.compared(res, n, first[n]); ok {
			all = append(all, x)
		}
	}
	return all
}

// compared sums one night's differences.
func (l *laid) compared(res []residual, n, first int) (x Night, ok bool) {
	var air, tank float64
	var airs, tanks int
	last := first
	for _, r := range res {
		if l.night[r.minute] != n || r.minute <= first {
			continue
		}
		switch last = r.minute; r.kind {
		case nightAir:
			air, airs = air+r.off*r.off, airs+1
			x.offs = append(x.offs, r.off)
		case nightTank:
			tank, tanks = tank+r.off*r.off, tanks+1
		}
	}
	x.Noon, x.Minutes = first, last-first
	x.Air, x.Tank = math.Sqrt(air/float64(airs)), math.Sqrt(tank/float64(tanks))
	return x, airs > 0 && tanks > 0 && airs*judgeEvery >= shortest
}

// pooled is the root mean square over nights, by how long each was compared.
func pooled(nights []Night, of func(*Night) float64) float64 {
	sum, n := 0.0, 0.0
	for i := range nights {
		x, w := of(&nights[i]), float64(nights[i].Minutes)
		sum, n = sum+w*x*x, n+w
	}
	return math.Sqrt(sum / n)
}

// lags are how many steps of five minutes apart differences are held against each other: one,
// and those of an hour.
var lags = [2]int{1, 12}

// follows are the autocorrelations of the differences of the air at the lags, about nothing: a
// night that is foretold too warm all along errs alike all along. Beside probes' noise alone
// they are near nothing.
func follows(nights []Night) (out [2]float64) {
	for i, lag := range lags {
		var all, cross float64
		for j := range nights {
			o := nights[j].offs
			for k := lag; k < len(o); k++ {
				all, cross = all+(sq(o[k])+sq(o[k-lag]))/2, cross+o[k]*o[k-lag]
			}
		}
		if all > 0 {
			out[i] = cross / all
		}
	}
	return out
}
