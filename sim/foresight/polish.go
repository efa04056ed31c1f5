package foresight

import "math"

// polisher moves single runs of a pulsed schedule. It goes through the winter once per
// sweep with the state as its moves have made it. A move is judged by the squared
// shortfall of the next minutes, simulated, and by how far the state after them is from
// the one without any move, at the slopes that the schedule had at the sweep's start.
// The farther, the less those slopes are trusted: see caution.
type polisher struct {
	w        *Winter
	schedule []float64
	states   []State // of the schedule at the sweep's start
	worths   []State
	grad     []float64
	room     []float64 // Wh that may be missing before a minute without a run being cut
	prices   []float64 // of a Wh before each minute
	level    []float64 // duty that a minute would run at
	window   [ahead]float64
	caution  float64
	moves    int
}

const (
	ahead    = 75 // minutes simulated for a move
	sweeps   = 12
	distrust = 0.25 // caution to begin with
)

// polish makes moves until they bring nothing, and returns the best schedule. wanted is
// a relaxed duty, which says how fast a minute would run where speed can vary.
func (w *Winter) polish(schedule, wanted, prices []float64) []float64 {
	n := len(schedule)
	p := &polisher{
		w: w, schedule: append([]float64(nil), schedule...), states: make([]State, n+1), worths: make([]State, n+1),
		grad: make([]float64, n), room: make([]float64, n+1), prices: prices, level: make([]float64, n), caution: distrust,
	}
	for i, d := range wanted {
		p.level[i] = max(d, w.law.Lowest())
	}
	best, bestCost := schedule, p.look()
	best = append([]float64(nil), best...)
	for range sweeps {
		p.sweep()
		w.tidy(p.schedule)
		cost := p.look()
		gain := bestCost - cost
		if gain > 0 {
			bestCost = cost
			copy(best, p.schedule)
		}
		if gain < 0 {
			p.caution *= 4
			copy(p.schedule, best)
			p.look()
		}
		if p.moves == 0 || math.Abs(gain) < 1e-6*bestCost {
			break
		}
	}
	return best
}

// look simulates the schedule and finds its slopes. A pulse that the battery pays for in
// full shows no slope by the battery, so that of the relaxed schedule stands for it.
func (p *polisher) look() float64 {
	n := len(p.schedule)
	p.states[0] = p.w.plant.Start
	cost := p.w.run(p.schedule, p.states, 0, n)
	p.w.back(p.schedule, p.states, p.grad, p.worths, State{}, 0, n)
	for i := range p.grad {
		p.worths[i].Battery = p.prices[i]
		p.grad[i] += rest - p.w.draw*p.prices[i+1]
	}
	p.rooms()
	return cost
}

// rooms goes back from run to run: what a later run leaves above the floor may be
// missing, and besides what a full battery turns away.
func (p *polisher) rooms() {
	room := math.Inf(1)
	p.room[len(p.schedule)] = room
	for i := len(p.schedule) - 1; i >= 0; i-- {
		left := p.states[i].Battery - p.w.draw*p.w.power(p.schedule[i])
		room += max(0, left+p.w.sky[i].charge-p.w.plant.Battery.Capacity)
		if p.schedule[i] > 0 {
			room = min(room, left-p.w.plant.Battery.Floor)
		}
		p.room[i] = room
	}
}

// sweep goes through all minutes once.
func (p *polisher) sweep() {
	p.moves = 0
	x := p.states[0]
	for i := range p.schedule {
		p.move(x, i)
		p.w.step(&x, p.schedule[i], &p.w.sky[i])
	}
}

// move makes the best move whose first minute is i, if any is good.
func (p *polisher) move(x State, i int) {
	var some [6]edit
	list := p.edits(i, some[:0])
	if len(list) == 0 {
		return
	}
	which := -1
	best := p.cost(x, i, &edit{})
	if best < math.MaxFloat64 {
		best -= 1e-12 * math.Abs(best)
	}
	for k := range list {
		if c := p.cost(x, i, &list[k]); c < best {
			best, which = c, k
		}
	}
	if which >= 0 {
		p.moves++
		list[which].apply(p.schedule)
	}
}

// cost is what the coming minutes come to from x under an edit, with the worth of what
// is left then.
func (p *polisher) cost(x State, i int, e *edit) float64 {
	n := min(i+ahead, len(p.schedule))
	s := p.window[:n-i]
	copy(s, p.schedule[i:n])
	e.shifted(i).apply(s)
	sum := 0.0
	for k, d := range s {
		short := p.w.step(&x, d, &p.w.sky[i+k])
		sum += short*short + rest*d
	}
	return sum + p.after(&x, n)
}

// after is the worth of a state before minute n; infinite where a later run would be
// cut for want of charge.
func (p *polisher) after(x *State, n int) float64 {
	r, g := &p.states[n], &p.worths[n]
	missing := r.Battery - x.Battery
	if missing > 1e-9 && missing > p.room[n] {
		return math.Inf(1)
	}
	return p.far(x.Tank-r.Tank, g.Tank, 5) + p.far(x.Air-r.Air, g.Air, 5) + p.far(x.Bed-r.Bed, g.Bed, 0.5) +
		p.far(x.House-r.House, g.House, 1) + p.far(-missing, p.prices[n], 2)
}

// far is a distance d at a slope g, less trusted as it nears a scale.
func (p *polisher) far(d, g, scale float64) float64 {
	return g*d + p.caution*math.Abs(g)*d*d/scale
}
