package foresight

import "math"

// The convex problem's state has five parts: tank, air, bed, greenhouse, and minutes of
// full duty spent. Its minutes choose a duty and the coil's heat.
const (
	parts                         = 5
	each                          = parts + 2 // a minute's variables: the state after it, duty, heat
	inTank, inAir, inDuty, inHeat = 0, 1, parts, parts + 1
	spent                         = 4
	walls                         = 7
)

type (
	vector [parts]float64
	matrix [parts][parts]float64
	row    [each]float64
)

// choice is a minute's duty and heat in W.
type choice struct{ duty, heat float64 }

// barrier is the search for the least damage within walls, which repel.
type barrier struct {
	w      *Winter
	stages []stage
	f      matrix    // of the state before
	g      [2]vector // of duty and heat
	x      []choice  // where it is
	z      []vector  // the states after each minute
	tried  []choice
	zTried []vector
	gains  [2][]vector // Newton's way: how duty and heat change with the state before
	step   []choice
	mu     float64 // K²min, strength of the walls
}

func (s State) vector() vector { return vector{s.Tank, s.Air, s.Bed, s.House, s.Battery} }

func (v vector) state() State { return State{v[0], v[1], v[2], v[3], v[4]} }

func (w *Winter) newBarrier() *barrier {
	n := len(w.sky)
	b := &barrier{
		w: w, stages: w.stages(), x: make([]choice, n), z: make([]vector, n), tried: make([]choice, n),
		zTried: make([]vector, n), gains: [2][]vector{make([]vector, n), make([]vector, n)}, step: make([]choice, n),
	}
	var none minute
	for k := range parts {
		var unit vector
		unit[k] = 1
		v := w.shut(unit.state(), 0, 0, &none).vector()
		for i := range parts {
			b.f[i][k] = v[i]
		}
	}
	b.g[0] = w.shut(State{}, 1, 0, &none).vector()
	b.g[1] = w.shut(State{}, 0, 1, &none).vector()
	b.begin()
	return b
}

func (b *barrier) start() State {
	s := b.w.plant.Start
	s.Battery = 0
	return s
}

// begin is a point within all walls: some duty everywhere with the heat it has.
func (b *barrier) begin() {
	x, k := b.start(), b.w.plant.Coil
	n := len(b.stages)
	for i := range b.stages {
		s := &b.stages[i]
		d := min(0.5, 0.9*(s.power-x.Battery)/float64(n-i+1))
		y := b.w.shut(x, d, 0, &s.m)
		q := k * d * (y.Tank - y.Air) / (1 + k*d*(b.w.tankInv+b.w.airInv))
		x = b.w.shut(x, d, q, &s.m)
		b.x[i], b.z[i] = choice{d, q}, x.vector()
	}
}

// wall is one limit of a minute: at - row·variables is above zero.
type wall struct {
	row row
	at  float64
}

// walls of a minute: duty from 0 to 1; the four sides around the product of duty and
// difference; the battery.
func (b *barrier) walls(s *stage) [walls]wall {
	k := b.w.plant.Coil
	var w [walls]wall
	w[0].row[inDuty] = -1
	w[1].row[inDuty], w[1].at = 1, 1
	w[2].row[inHeat], w[2].row[inDuty] = 1, -k*s.high
	w[3].row[inHeat], w[3].row[inDuty] = -1, k*s.low
	w[4].row = row{inTank: -k, inAir: k, inDuty: -k * s.low, inHeat: 1}
	w[4].at = -k * s.low
	w[5].row = row{inTank: k, inAir: -k, inDuty: k * s.high, inHeat: -1}
	w[5].at = k * s.high
	w[6].row[spent], w[6].at = 1, s.power
	return w
}

func variables(z *vector, x choice) row {
	return row{z[0], z[1], z[2], z[3], z[4], x.duty, x.heat}
}

func (w *wall) slack(v *row) float64 {
	s := w.at
	for k, a := range w.row {
		s -= a * v[k]
	}
	return s
}

// height is damage and walls together at a point; infinite beyond a wall.
func (b *barrier) height(x []choice, z []vector) float64 {
	sum := 0.0
	for i := range b.stages {
		short := max(0, b.w.minimum-z[i][inAir])
		sum += short * short
		v, all := variables(&z[i], x[i]), b.walls(&b.stages[i])
		for k := range all {
			s := all[k].slack(&v)
			if !(s > 0) {
				return math.Inf(1)
			}
			sum -= b.mu * math.Log(s)
		}
	}
	return sum
}

// solve weakens the walls until they matter less than a thousandth of the damage.
func (b *barrier) solve() {
	n := float64(walls * len(b.stages))
	for b.mu = 1; ; b.mu /= 4 {
		for range 40 {
			if b.newton() < 0.02*b.mu {
				break
			}
		}
		damage := 0.0
		for i := range b.z {
			short := max(0, b.w.minimum-b.z[i][inAir])
			damage += short * short
		}
		if n*b.mu < 1e-3*damage || b.mu < 1e-9 {
			return
		}
	}
}
