package night

import "time"

// useful is by how much the tank must be warmer than the air to give heat worth the
// pump, K; spell the least duty that counts as a spell of heat. Our choices.
const (
	useful = 3.0
	spell  = 0.15
)

// tell rolls the best plan over the outlook's course and puts it into figures. at is
// the time at which the plan begins.
func (p *Plan) tell(at time.Time, from int) Story {
	s := Story{Coldest: 99, Unheated: 99, Left: 0}
	n, bare := p.start, p.start
	var l, cold link
	s.Charge = n.Charge / p.twin.Capacity
	s.Left = max(0, n.Tank-n.Air-useful) * p.twin.Tank / 3600
	for k := range p.steps {
		duty := p.Duty(k)
		flow, power, _ := p.drive.shares(duty)
		p.twin.after(&n, p.ahead[0].House[k], p.ahead[0].Sun[k], flow, power, &l)
		p.twin.after(&bare, p.ahead[0].House[k], p.ahead[0].Sun[k], 0, 0, &cold)
		n, bare = l.end(), cold.end()
		when := at.Add(time.Duration(k+1) * Step * time.Second)
		if k < from {
			continue
		}
		s.Unheated = min(s.Unheated, bare.Air)
		if n.Air < s.Coldest {
			s.Coldest, s.ColdestAt, s.ChargeEnd = n.Air, when, n.Charge/p.twin.Capacity
		}
		if s.Lasts.IsZero() && n.Tank-n.Air < useful {
			s.Lasts = when
		}
		s.Needed += p.twin.Coil * flow * max(0, n.Tank-n.Air) * Step / 3600
		s.spell(when, duty)
	}
	return s
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
