package night

import (
	"math"
	"slices"
)

// Aim is what a plan is judged by: the sum over its steps of the squared deficit of
// the tunnel's air below Minimum, times 1 and what it is below Harm, plus Price for each
// step at full power, plus a penalty where the battery falls below Floor.
type Aim struct {
	Minimum float64 // °C
	Harm    float64 // °C
	Price   float64 // K² a step
	Floor   float64 // Wh
}

// guard is the penalty on the battery's shortfall, K² per Wh².
const guard = 0.05

// block is how many steps keep one duty.
const block = 2

// Plan is a course of duties ahead, one for each block of two steps, the same for
// every scenario up to Shared blocks and each scenario's own behind. It is improved
// step by step and may be used after each.
type Plan struct {
	twin   Twin
	aim    Aim
	drive  Drive
	start  Now
	ahead  []Ahead
	course Ahead   // that the story goes by
	colder float64 // K: by so much the course may be off
	warmer float64
	shared int
	blocks int
	steps  int

	duty, best      []float64 // shared blocks, then each scenario's own
	slope, previous []float64 // gradients at duty and before
	last            []float64 // duty before
	links           []link
	cost            float64 // at best
	at              float64 // at duty
	stride          float64
	graded          int // scenarios run there and back
}

// NewPlan makes a plan ready for a start and what may come, every scenario equally
// likely; each Ahead is at least steps long. The duties begin as those of warm, which
// may be nil.
func NewPlan(t Twin, aim Aim, d Drive, start Now, ahead []Ahead, steps, shared int, warm []float64) *Plan {
	p := &Plan{twin: t, aim: aim, drive: d}
	p.begin(start, ahead, steps, shared, warm)
	return p
}

// begin makes a plan of twin, aim and drive ready, in the memory it has. warm must not be
// its own.
func (p *Plan) begin(start Now, ahead []Ahead, steps, shared int, warm []float64) {
	p.start, p.ahead, p.steps = start, ahead, steps
	p.course, p.colder, p.warmer = ahead[0], 0, 0
	p.stride, p.graded = 0, 0
	p.blocks = (steps + block - 1) / block
	p.shared = min(shared, p.blocks)
	if len(ahead) == 1 {
		p.shared = p.blocks
	}
	n := p.shared + len(ahead)*(p.blocks-p.shared)
	for _, of := range []*[]float64{&p.duty, &p.slope, &p.previous, &p.last, &p.best} {
		*of = slices.Grow((*of)[:0], n)[:n]
		clear(*of)
	}
	p.links = slices.Grow(p.links[:0], steps)[:steps]
	for s := range ahead {
		for b := range min(p.blocks, len(warm)) {
			p.duty[p.where(s, b)] = warm[b]
		}
	}
	p.at = p.grade()
	p.cost = p.at
	copy(p.best, p.duty)
}

// where the duty of a scenario's block is kept.
func (p *Plan) where(scenario, b int) int {
	if b < p.shared {
		return b
	}
	return p.shared + scenario*(p.blocks-p.shared) + b - p.shared
}

// grade runs every scenario under duty, fills slope, and gives the cost.
func (p *Plan) grade() float64 {
	clear(p.slope)
	sum := 0.0
	for s := range p.ahead {
		sum += p.forward(s)
		p.backward(s)
	}
	p.graded += len(p.ahead)
	share := 1 / float64(len(p.ahead))
	for i := range p.slope {
		p.slope[i] *= share
	}
	return sum * share
}

// forward rolls one scenario and gives its cost.
func (p *Plan) forward(s int) float64 {
	n, cost, a := p.start, 0.0, &p.ahead[s]
	for k := range p.steps {
		flow, power, _ := p.drive.shares(p.duty[p.where(s, k/block)])
		l := &p.links[k]
		p.twin.after(&n, a.House[k], a.Sun[k], a.level(k), flow, power, l)
		n = l.end()
		cost += p.aim.step(l) + p.aim.Price*power
	}
	return cost
}

// step is what one step costs, but for the price.
func (a *Aim) step(l *link) float64 {
	cost, _ := a.harm(l.air)
	short := max(0, a.Floor-l.charge)
	return cost + guard*short*short
}

// harm is what a step at an air temperature costs, K², and its slope.
func (a *Aim) harm(air float64) (cost, slope float64) {
	cold := max(0, a.Minimum-air)
	deep := max(0, a.Harm-air)
	slope = -2 * cold * (1 + deep)
	if deep > 0 {
		slope -= cold * cold
	}
	return cold * cold * (1 + deep), slope
}

// backward adds the slopes of a scenario's cost, by the adjoint of after. The vent
// and the element's limit are taken as they were.
func (p *Plan) backward(s int) {
	t := &p.twin
	const h = Step
	bedAll := t.Bed/h + t.BedToAir + t.BedToSoil
	var tank, air, bed, charge float64 // slopes by the state at the end of step k
	for k := p.steps - 1; k >= 0; k-- {
		l := &p.links[k]
		_, colder := p.aim.harm(l.air)
		air += colder
		charge -= 2 * guard * max(0, p.aim.Floor-l.charge)
		if l.full {
			charge = 0
		}
		air += bed * t.BedToAir / bedAll
		det := l.a11*l.a22 - l.flow*l.flow
		m1 := (tank*l.a22 + l.flow*air) / det
		m2 := (l.flow*tank + l.a11*air) / det
		i := p.where(s, k/block)
		_, _, slope := p.drive.shares(p.duty[i])
		p.slope[i] += t.Coil*(l.tank-l.air)*(m2-m1) +
			slope*(p.aim.Price+t.FanHeat*m2-charge*t.Draw*h/3600)
		tank, air, bed = m1*t.Tank/h, m2*t.Air/h, bed*t.Bed/h/bedAll+m2*t.BedToAir
	}
}

// Improve takes up to so many steps down the gradient, each projected onto duties
// between 0 and 1, by the spectral length of Barzilai and Borwein (IMA J. Numer. Anal.
// 8, 1988, 141), and keeps the best plan it has met.
func (p *Plan) Improve(steps int) {
	if p.stride == 0 {
		p.stride = p.first()
	}
	for range steps {
		copy(p.last, p.duty)
		copy(p.previous, p.slope)
		for i, g := range p.slope {
			p.duty[i] = min(1, max(0, p.duty[i]-p.stride*g))
		}
		before := p.at
		p.at = p.grade()
		if p.at < p.cost {
			p.cost = p.at
			copy(p.best, p.duty)
		}
		p.lengthen(before)
	}
}

// first is a stride that moves the steepest duty by a fifth.
func (p *Plan) first() float64 {
	steepest := 0.0
	for _, g := range p.slope {
		steepest = max(steepest, math.Abs(g))
	}
	return 0.2 / max(steepest, 1e-9)
}

// lengthen sets the next stride. One that made things clearly worse goes back to the
// best plan with a quarter of it.
func (p *Plan) lengthen(before float64) {
	if p.at > before+0.1*math.Abs(before) {
		copy(p.duty, p.best)
		p.at = p.grade()
		p.stride /= 4
		return
	}
	ss, sy := 0.0, 0.0
	for i := range p.duty {
		s, y := p.duty[i]-p.last[i], p.slope[i]-p.previous[i]
		ss, sy = ss+s*s, sy+s*y
	}
	switch {
	case ss == 0:
	case sy > 1e-12*ss:
		p.stride = ss / sy
	default:
		p.stride *= 2
	}
}

// Duty is the best plan's duty so many steps ahead: the mean of the scenarios'.
func (p *Plan) Duty(step int) float64 {
	b := step / block
	if b >= p.blocks {
		return 0
	}
	sum := 0.0
	for s := range p.ahead {
		sum += p.best[p.where(s, b)]
	}
	return sum / float64(len(p.ahead))
}

// Cost of the best plan.
func (p *Plan) Cost() float64 { return p.cost }

// air that the best plan ends a step with, by the outlook's course.
func (p *Plan) air(step int) float64 {
	n := p.start
	var l link
	for k := range min(step+1, p.steps) {
		flow, power, _ := p.drive.shares(p.Duty(k))
		p.twin.after(&n, p.course.House[k], p.course.Sun[k], p.course.level(k), flow, power, &l)
		n = l.end()
	}
	return n.Air
}
