package night

import (
	"math"
	"slices"
	"time"
)

// Useful is by how much the tank must be warmer than the air to give heat worth the
// pump, K; spell the least duty that counts as a spell of heat. Our choices.
const (
	Useful = 3.0
	spell  = 0.15
)

// tell rolls the best plan over the outlook's course and puts it into figures. at is
// the time at which the plan begins.
func (p *Plan) tell(at time.Time, from int) Story {
	s := Story{Coldest: 99, Unheated: 99}
	n, bare := p.start, p.start
	var l, cold link
	for k := range p.ends(from) {
		if k <= from {
			s.Charge = n.Charge / p.twin.Capacity
			s.Left = max(0, n.Tank-n.Air-Useful) * p.twin.Tank / 3600
		}
		duty := p.Duty(k)
		flow, power, _ := p.drive.shares(duty)
		p.twin.after(&n, p.course.House[k], p.course.Sun[k], p.course.level(k), flow, power, &l)
		p.twin.after(&bare, p.course.House[k], p.course.Sun[k], p.course.level(k), 0, 0, &cold)
		n, bare = l.end(), cold.end()
		when := at.Add(time.Duration(k+1) * Step * time.Second)
		if k < from {
			continue
		}
		if bare.Air < s.Unheated {
			s.Unheated, s.UnheatedAt = bare.Air, when
		}
		if n.Air < s.Coldest {
			s.Coldest, s.ColdestAt, s.ChargeEnd = n.Air, when, n.Charge/p.twin.Capacity
		}
		if s.Lasts.IsZero() && n.Tank-n.Air < Useful {
			s.Lasts = when
		}
		s.Needed += p.twin.Coil * flow * max(0, n.Tank-n.Air) * Step / 3600
		s.spell(when, duty)
	}
	s.Low = min(s.Coldest, p.coldest(from, p.colder, p.Duty))
	s.High = max(s.Coldest, p.coldest(from, p.warmer, p.Duty))
	s.UnheatedLow = min(s.Unheated, p.coldest(from, p.colder, noDuty))
	return s
}

func noDuty(int) float64 { return 0 }

// coldest air from a step on under duties, where the greenhouse's is warmer by so much
// than the outlook's.
func (p *Plan) coldest(from int, warmer float64, duty func(int) float64) float64 {
	n, low := p.start, math.Inf(1)
	var l link
	for k := range p.ends(from) {
		flow, power, _ := p.drive.shares(duty(k))
		p.twin.after(&n, p.course.House[k]+warmer, p.course.Sun[k], p.course.level(k), flow, power, &l)
		if n = l.end(); k >= from {
			low = min(low, n.Air)
		}
	}
	return low
}

// doubt is by how much the greenhouse's coldest air of the night may be colder and warmer
// than a course from slot now on has it, K: the ends of the 80 % band of the minimum, about
// what is foretold of it, or where that is not known or the course is not the outlook's,
// about the course's own.
func (o *Outlook) doubt(now int64, course *Ahead, own bool) (colder, warmer float64) {
	n := min(o.Morning(now, course), slotsADay)
	low := slices.Min(course.House[:n])
	middle := low
	if x, ok := o.Minimum(now, n); own && ok {
		middle = x
	}
	b := o.Bands(now, n)
	colder, warmer = b.Around(middle)
	return colder - low, warmer - low
}

// nights are how many times of day like a slot's are remembered, of the days before it.
func (m *Memory) nights(slot int64) (n int) {
	for d := int64(1); d < days; d++ {
		if _, ok := m.Look(slot - d*slotsADay); ok {
			n++
		}
	}
	return n
}

// spell finds the first spell of heat.
func (s *Story) spell(end time.Time, duty float64) {
	begin := end.Add(-Step * time.Second)
	switch {
	case duty < spell:
	case s.From.IsZero():
		s.From, s.To = begin, end
	case !begin.After(s.To.Add(Step * time.Second)):
		s.To = end
	}
}

// ends is with which step a story that is told at one ends: the night's that is on or comes
// next, an hour and a half after its sunrise.
func (p *Plan) ends(from int) int {
	night := false
	for k := from; k < p.steps; k++ {
		light := p.course.Sun[k] > dim
		if night && light {
			return min(p.steps, k+morning)
		}
		night = night || !light
	}
	return p.steps
}
