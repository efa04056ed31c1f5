package fit

import (
	"fmt"
	"math"
	"slices"
)

// Left is a night that a fit does not believe, and why, in words.
type Left struct {
	Noon int // minute of the record at which it begins
	Why  string
}

// What a night must not show. All are choices of ours.
const (
	strangeSun  = 0.03 // of full sun while the sun is down
	strangeFor  = 15   // minutes of it
	strangeRuns = 0.6  // of a night's starts
	warmTank    = 10.0 // K over the air, at which a start must show
	coldTank    = 5.0  // K that the tank may read below the air while the pump runs
	showsAfter  = 6    // minutes
	backwards   = 30   // minutes of running beside a colder tank
	unlike      = 2.5  // times what the other nights leave, and
	unlikeBy    = 0.5  // K
	fewest      = 3    // nights that must be left
)

// strange says what is wrong with a night, without any model; nothing where all is well.
func (l *laid) strange(r *Record, n int) string {
	var sunny, colder, starts, silent, swapped int
	for k := range l.night {
		if l.night[k] != n {
			continue
		}
		c := &l.cells[k]
		if r.Skies != nil && c.sun > strangeSun {
			if sky := r.Skies(r.slot(k)); sky.Clear <= 0 {
				sunny++
			}
		}
		if c.on > 0.5 && l.dark[k] && known(l.tank[k]) && !l.forced[k] && l.tank[k] < l.air[k]-coldTank {
			colder++
		}
		if l.starts(k) {
			starts++
			air, house := l.air[k+showsAfter]-l.air[k], l.cells[k+showsAfter].house-l.cells[k].house
			switch {
			case house > air && house > 0.5:
				swapped++
			case l.tank[k+showsAfter] >= l.tank[k]:
				silent++
			}
		}
	}
	most := max(3, int(strangeRuns*float64(starts)))
	switch {
	case sunny >= strangeFor:
		return fmt.Sprintf("the panel saw sun for %d minutes while the sun was down: was the clock wrong?", sunny)
	case colder >= backwards:
		return "the pump ran beside a tank that read colder than the tunnel: are the probes of tank and tunnel swapped?"
	case swapped >= most:
		return "the greenhouse warmed at every start of the pump, and the tunnel less: are their probes swapped?"
	case silent >= most:
		return "the pump started beside a warm tank, and the tank did not cool: did nothing flow?"
	}
	return ""
}

// starts says that pump and fans start at a minute beside a warm tank and run on.
func (l *laid) starts(k int) bool {
	if k < 1 || k+showsAfter >= len(l.cells) || l.cells[k].on < 0.5 || l.cells[k-1].on > 0 || !l.dark[k] {
		return false
	}
	for j := k; j <= k+showsAfter; j++ {
		if !l.driven[j] || l.forced[j] || !known(l.tank[j]) || j < k+2 && l.cells[j].on < 0.5 {
			return false
		}
	}
	return l.tank[k]-l.air[k] > warmTank
}

// sift leaves out what looks wrong by itself: none of those nights' readings are believed.
// It fails where most of them are wrong. stuck are probes that stood still, in all the record.
func sift(r *Record, o *Options) (l *laid, left, stuck []Left, err error) {
	l = lay(r, &o.File, o.Noon)
	stuck = l.stuck
	nights := l.nights()
	clean := *r
	clean.Minutes = slices.Clone(r.Minutes)
	var out []int
	for _, n := range nights {
		why := l.strange(r, n)
		if why == "" {
			continue
		}
		left, out = append(left, Left{l.first(n), why}), append(out, n)
		for k := range clean.Minutes {
			if l.night[k] == n {
				clean.Minutes[k] = Nothing()
			}
		}
	}
	if n := len(nights) - len(left); n < fewest || len(left) > n {
		return nil, left, stuck, fmt.Errorf("%w: %d nights of %d are left of it, and %d and more than half are needed", ErrTooLittle, n, len(nights), fewest)
	}
	if len(left) > 0 {
		l = lay(&clean, &o.File, o.Noon).without(out)
	}
	return l, left, stuck, nil
}

// first minute of a night.
func (l *laid) first(n int) int { return slices.Index(l.night, n) }

func (l *laid) leave(n int) {
	for k := range l.night {
		if l.night[k] == n {
			l.night[k] = -1
		}
	}
}

// oddest is the night that a fit explains worst: by the root mean square of its differences
// in widths, with the median of all nights, and in K.
func (s *solved) oddest() (night int, off, usual, kelvin float64) {
	s.search.slopes(s.z)
	sum, inK, count := map[int]float64{}, map[int]float64{}, map[int]float64{}
	for _, r := range s.search.base {
		if r.kind != nightAir && r.kind != nightTank {
			continue
		}
		n := s.search.laid.night[r.minute]
		x := min(math.Abs(r.off/s.search.widths[r.kind]), 50)
		sum[n], inK[n], count[n] = sum[n]+x*x, inK[n]+r.off*r.off, count[n]+1
	}
	var all []float64
	for n := range sum {
		x := math.Sqrt(sum[n] / count[n])
		all = append(all, x)
		if x > off {
			night, off, kelvin = n, x, math.Sqrt(inK[n]/count[n])
		}
	}
	slices.Sort(all)
	if len(all) == 0 {
		return 0, 0, 0, 0
	}
	return night, off, all[(len(all)-1)/2], kelvin
}

// settle solves, leaves out the night that is least like the others, and solves again until
// all are alike.
func settle(l *laid, o *Options) (s *solved, left []Left, err error) {
	for {
		if s, err = solve(l, o); err != nil {
			return nil, left, err
		}
		n, off, usual, kelvin := s.oddest()
		if kelvin < unlikeBy || off < unlike*usual {
			return s, left, nil
		}
		if len(l.nights()) <= fewest {
			return nil, left, fmt.Errorf("%w: its nights do not agree with each other", ErrTooLittle)
		}
		why := s.tells(n)
		left = append(left, Left{l.first(n), why})
		l.leave(n)
	}
}

// tells says in what a night differs, by a fit of coil, cover and tank loss to it alone.
func (s *solved) tells(n int) string {
	l := s.search.laid
	var others []int
	for _, m := range l.nights() {
		if m != n {
			others = append(others, m)
		}
	}
	alone := newSearch(&s.model, l.without(others))
	alone.of, alone.widths = []int{ofTankLoss, ofCoil, ofCover}, s.search.widths
	alone.slope = make([][]float64, len(alone.of))
	z, _, err := alone.from(make([]float64, len(alone.of)))
	if err != nil {
		return "it is unlike the others, and no change of coil, cover or tank explains it"
	}
	by := alone.movements(z)
	coil, cover, loss := math.Exp(by[ofCoil]), math.Exp(by[ofCover]), math.Exp(by[ofTankLoss])
	switch {
	case coil < 0.7 && coil < 1/cover:
		return fmt.Sprintf("the coil gave %.0f %% of what it gave on the others: did fans or pump stand still?", 100*coil)
	case cover > 1.4:
		return fmt.Sprintf("the tunnel lost %.1f times the heat of the others: was its cover open?", cover)
	case loss > 1.4:
		return fmt.Sprintf("the tank lost %.1f times the heat of the others: was its cover off?", loss)
	}
	return "it is unlike the others, and no change of coil, cover or tank explains it"
}
