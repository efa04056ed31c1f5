package foresight

import (
	"errors"
	"fmt"
	"math"
)

// ErrBound is wrapped where no bound can be given.
var ErrBound = errors.New("no bound for this plant")

// Bound is a figure in K²h that no schedule of this winter, pulsed or relaxed, can go
// below. It is meant for a night (see Part): the longer the time, the looser it is.
//
// The coil's heat Q = K·c·y is a product of the duty c and of y, tank less air after the
// minute. It is replaced by all Q in the smallest convex set around the product, with y
// between limits that no schedule can leave (McCormick, Math. Programming 10, 1976).
// The rest is linear, the damage convex. A barrier method finds a point and the prices
// of its limits; what is returned is not that point's damage but what those prices
// prove, by convexity and by the corners of each minute's set: right for any prices
// however badly found.
//
// Vents are left shut. An open one only takes warmth away, but for the linearised step in
// which it closes, which overshoots by a trifle at temperatures that no crop minds.
// The speed must be fixed; the error wraps ErrBound otherwise.
func (w *Winter) Bound() (float64, error) {
	if !w.fixed || w.draw == 0 || w.plant.Coil == 0 {
		return 0, fmt.Errorf("foresight: %w: it wants a coil, and a pump of fixed speed that draws power", ErrBound)
	}
	b := w.newBarrier()
	b.solve()
	return max(0, b.proof()) / 60, nil
}

// stage is one minute of the convex problem.
type stage struct {
	m         minute  // element raised to what it can give at most
	low, high float64 // of tank less air after it, K
	power     float64 // minutes of full duty that the battery can have paid for by its end
}

// stages finds each minute's limits: a box that holds every state there can be, carried
// along. The step grows with each part of the state, and each part of its outcome
// goes one way with the duty, so corners are enough.
func (w *Winter) stages() []stage {
	all := make([]stage, len(w.sky))
	low, high := w.plant.Start, w.plant.Start
	y := [2]float64{low.Tank - low.Air, low.Tank - low.Air}
	for i := range all {
		s := &all[i]
		s.m = w.sky[i]
		s.m.element *= w.overshoot(&low, &high, &s.m)
		low, high = w.box(&low, &high, &s.m)
		y = w.apart(y, &low, &high, &s.m)
		s.low, s.high = y[0]-loose, y[1]+loose
	}
	w.budget(all)
	return all
}

// loose is by how much each limit is wider than it need be, in K and minutes.
const loose = 1e-6

// box is what a minute makes of one.
func (w *Winter) box(low, high *State, m *minute) (lowest, highest State) {
	dark := *m
	dark.element = 0
	l, h := w.corners(low, &dark), w.corners(high, m)
	return State{Tank: min(l[0].Tank, l[1].Tank), Air: min(l[0].Air, l[1].Air), Bed: min(l[0].Bed, l[1].Bed), House: l[0].House},
		State{Tank: max(h[0].Tank, h[1].Tank), Air: max(h[0].Air, h[1].Air), Bed: max(h[0].Bed, h[1].Bed), House: h[1].House}
}

// budget is what the battery can have paid for by the end of each minute: at a minute
// that the pump runs in, all that stood above the floor and came in before, less what
// the base load took; afterwards that still holds. What an empty battery owes the base
// load is lost, so where it could come to that, the base load is not counted.
func (w *Winter) budget(all []stage) {
	p := &w.plant.Battery
	poor, empties := min(w.plant.Start.Battery, p.Floor), false
	for i := range w.sky {
		poor = min(poor, p.Floor) + w.sky[i].charge
		empties = empties || poor <= 0
	}
	most, sum := 0.0, w.plant.Start.Battery-p.Floor
	for i := range all {
		most = max(most, sum)
		all[i].power = most/w.draw + loose
		if c := w.sky[i].charge; c > 0 || !empties {
			sum += c
		}
	}
}

// corners are the outcomes of a minute at rest and at full duty, with vents shut.
func (w *Winter) corners(x *State, m *minute) [2]State {
	return [2]State{w.shut(*x, 0, 0, m), w.coupled(*x, m)}
}

// shut is a minute with vents shut and the element at full power in which the coil
// carries q watts: linear in all.
func (w *Winter) shut(x State, duty, q float64, m *minute) State {
	p := &w.plant
	house := (w.house*x.House + m.house + p.Cover*x.Air + p.TankLoss*x.Tank + p.HouseHeat*duty) * w.hoInv
	y := State{House: house, Battery: x.Battery + duty}
	y.Tank = (w.tank*x.Tank + p.TankLoss*house + m.element + p.TankHeat*duty - q) * w.tankInv
	y.Air = (w.air*x.Air + m.air + w.bedShare*(w.bed*x.Bed+m.bed) + p.Cover*house + p.FanHeat*duty + q) * w.airInv
	y.Bed = (w.bed*x.Bed + p.BedToAir*y.Air + m.bed) * w.bedInv
	return y
}

// coupled is a minute at full duty: the coil's heat follows from tank less air, which it
// lessens.
func (w *Winter) coupled(x State, m *minute) State {
	y := w.shut(x, 1, 0, m)
	k := w.plant.Coil
	return w.shut(x, 1, k*(y.Tank-y.Air)/(1+k*(w.tankInv+w.airInv)), m)
}

// overshoot is by how much the element can exceed its panel's power in a minute: the
// linearised taper runs on below its beginning when the coil cools the tank.
func (w *Winter) overshoot(low, high *State, m *minute) float64 {
	l := w.plant.Limit
	if high.Tank <= l.Low || m.element == 0 {
		return 1
	}
	x, none := *low, *m
	x.Tank, none.element = l.Low, 0
	out := w.corners(&x, &none)
	return max(1, (l.High-min(out[0].Tank, out[1].Tank))*w.taper)
}

// apart are the limits of tank less air after a minute, from those before and the box
// after: by the box itself, and by the balance of the difference,
//
//	y'·(1 + K·c·(1/tank + 1/air) + out/air) = y + gain/tank - (fans + sun + bed + cover - out·tank')/air
//
// with out the conductance from the air to bed and greenhouse.
func (w *Winter) apart(y [2]float64, low, high *State, m *minute) [2]float64 {
	p := &w.plant
	out := p.BedToAir + p.Cover
	side := func(y, duty float64, gain, loss, house, tank, bed float64) float64 {
		q := y + (gain-p.TankLoss*loss+p.TankHeat*duty)/w.tank -
			(p.FanHeat*duty+m.air+p.BedToAir*bed+p.Cover*house-out*tank)/w.air
		return q / (1 + p.Coil*duty*(1/w.tank+1/w.air) + out/w.air)
	}
	least, most := math.Inf(1), math.Inf(-1)
	for duty := range 2 {
		d := float64(duty)
		least = min(least, side(y[0], d, 0, high.Tank-low.House, high.House, low.Tank, high.Bed))
		most = max(most, side(y[1], d, m.element, low.Tank-high.House, low.House, high.Tank, low.Bed))
	}
	return [2]float64{max(least, low.Tank-high.Air), min(most, high.Tank-low.Air)}
}
