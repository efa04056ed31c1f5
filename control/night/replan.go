package night

import "cmp"

// start of the twin by a sample.
func (m *Mind) start(s *Sample) Now {
	n := Now{Tank: s.Tank, Air: s.Air, Bed: m.bed, Charge: s.Charge * m.twin.Capacity}
	if m.set.Twin.Light() {
		n.Air = m.lately(slotOf(s.Time), s.Air)
	}
	return n
}

// lately is the mean air of the slot before one, where it is known, else what is.
func (m *Mind) lately(slot int64, air float64) float64 {
	if s := m.memory.find(slot - 1); s != nil && known(float64(s.Air)) {
		return float64(s.Air)
	}
	return air
}

// aim of a plan but for its price.
func (m *Mind) aim(s *Sample) Aim {
	return Aim{Minimum: m.set.Minimum + m.set.Margin, Harm: m.set.Harm, Floor: s.Floor * m.twin.Capacity}
}

// replan makes a new plan from slot now on.
func (m *Mind) replan(now int64, s *Sample) {
	old := m.plan
	m.plan, m.left, m.anew = nil, 0, false
	if m.advice.Why = m.missing(s); m.advice.Why != NoDoubt {
		return
	}
	from := m.start(s)
	ahead, ok := m.foretell(now)
	if !ok {
		m.advice.Why = HouseUnseen
		return
	}
	aim := m.aim(s)
	cost, cold := m.twin.unheated(from, &ahead, &aim)
	m.hard.add(cost, cold, m.set.Every)
	aim.Price = m.hard.price(m.set.Thrift)
	var warm []float64 // where heat is needed
	if cold > 0 {
		warm = old.rest(int(now - m.planned))
	}
	m.planned, m.begun, m.cold = now, s.Time, cold > 0
	pasts := []Ahead{ahead}
	if m.cold {
		pasts, m.left = m.outlook.scenarios(now, ahead, m.set.Scenarios), m.set.Budget
	}
	m.plan = cmp.Or(old, new(Plan))
	m.plan.twin, m.plan.aim, m.plan.drive = m.twin, aim, m.set.Drive
	m.plan.begin(from, pasts, m.set.Horizon, m.set.Shared/block, warm)
	m.plan.course = ahead
	m.plan.colder, m.plan.warmer = m.outlook.doubt(now, &ahead, m.rests == OnOutlook)
}

// foretell the greenhouse's air and the sun from a slot on, by the outlook or the forecast
// from outside, whichever was the better of late.
func (m *Mind) foretell(now int64) (Ahead, bool) {
	if m.Foretell != nil {
		a, ok := m.Foretell(now, m.set.Horizon)
		a.light(&m.memory.light, now)
		return a, ok
	}
	a, ok := m.outlook.Ahead(now, m.set.Horizon)
	if !ok {
		return a, false
	}
	best, outside := m.skill.Best(&m.outlook, now, a)
	m.rests = OnOutlook
	if outside {
		m.rests = OnForecast
	}
	return best, true
}

// missing says what is not known that a plan needs.
func (m *Mind) missing(s *Sample) Doubt {
	switch {
	case !known(s.Tank):
		return TankUnseen
	case !known(s.Air) || !known(m.bed):
		return AirUnseen
	case !known(s.House):
		return HouseUnseen
	case !known(s.Charge) || !known(s.Floor):
		return BatteryUnseen
	}
	return NoDoubt
}

// rest is what a plan's duties are from a step on, one for each block.
func (p *Plan) rest(from int) []float64 {
	if p == nil {
		return nil
	}
	var warm []float64
	for b := max(0, from/block); b < p.blocks; b++ {
		warm = append(warm, p.Duty(b*block))
	}
	return warm
}

// unheated is what a course without heat costs and how many of its steps are too cold.
func (t *Twin) unheated(n Now, a *Ahead, aim *Aim) (cost, cold float64) {
	var l link
	for k := range a.House {
		t.after(&n, a.House[k], a.Sun[k], a.level(k), 0, 0, &l)
		n = l.end()
		if l.air < aim.Minimum {
			x, _ := aim.harm(l.air)
			cost += x
			cold++
		}
	}
	return cost, cold
}
