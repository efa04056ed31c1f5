package night

import "math"

// Settings of a mind.
type Settings struct {
	Twin    Twin    // by the greenhouse file
	Minimum float64 // °C, the crop's
	Drive   Drive
	Clear   Clear
	// Every is how many slots a plan is followed before the next; Horizon how many it
	// looks ahead; Scenarios how many pasts it weighs, 1 for the outlook alone; Shared
	// for how many slots they keep one duty.
	Every, Horizon, Scenarios, Shared int
	// Learn refits the twin every noon, the slot of the day Noon.
	Learn bool
	Noon  int64
	// Budget is how many steps a plan is improved.
	Budget int
}

// margin is how far above the crop's minimum a plan aims, K. Our choice.
const margin = 0.1

// Mind remembers, learns, looks ahead and plans. It is not safe for concurrent use.
type Mind struct {
	set      Settings
	twin     Twin
	memory   Memory
	outlook  Outlook
	bed      Known
	fit      Fit
	hard     severity
	plan     *Plan
	planned  int64                                // the slot at which the plan begins
	Foretell func(now int64, n int) (Ahead, bool) // in place of the outlook
}

// NewMind begins with what the file says.
func NewMind(s Settings) *Mind {
	m := &Mind{set: s, twin: s.Twin, bed: Absent()}
	m.outlook = Outlook{memory: &m.memory, clear: s.Clear}
	return m
}

// Observe takes a sample in, and thinks where a slot has ended.
func (m *Mind) Observe(s *Sample) {
	if !m.memory.Add(s) {
		return
	}
	now := slotOf(s.Time)
	m.warmBed(now - 1)
	if m.set.Learn && now%slotsADay == m.set.Noon {
		m.learn(now)
	}
	if now%int64(m.set.Every) == 0 || m.plan == nil && now%3 == 0 {
		m.replan(now, s)
	}
}

// learn refits the twin.
func (m *Mind) learn(now int64) {
	m.fit = Learn(&m.set.Twin, &m.memory, now, m.fit, 3)
	if m.fit.ok {
		m.twin = m.set.Twin.times(&m.fit.logs)
		m.bed = m.fit.bed
	}
}

// Figures are the learned ratios to the file's figures.
func (m *Mind) Figures() (ratio [figures]float64, rms float64) {
	for i, x := range m.fit.logs {
		ratio[i] = math.Exp(x)
	}
	return ratio, m.fit.rms
}

// warmBed lets the bed follow the air and the sun of a slot, where no probe is in it.
func (m *Mind) warmBed(slot int64) {
	s, ok := m.memory.Look(slot)
	if b := float64(s.Bed); ok && known(b) {
		m.bed = b
		return
	}
	air, sun := float64(s.Air), float64(s.Sun)
	if !ok || !known(air) {
		return
	}
	if !known(m.bed) {
		m.bed = air
	}
	if !known(sun) {
		sun = 0
	}
	m.bed = m.twin.bedAfter(m.bed, air, sun)
}

// bedAfter is the bed a step later beside an air.
func (t *Twin) bedAfter(bed, air, sun float64) float64 {
	return (t.Bed/Step*bed + t.BedToAir*air + t.BedToSoil*t.Soil + t.BedSun*sun) / (t.Bed/Step + t.BedToAir + t.BedToSoil)
}

// replan makes a new plan from slot now on.
func (m *Mind) replan(now int64, s *Sample) {
	old := m.plan
	m.plan = nil
	if !known(s.Tank) || !known(s.Air) || !known(m.bed) || !known(s.Charge) {
		return
	}
	from := Now{Tank: s.Tank, Air: s.Air, Bed: m.bed, Charge: s.Charge * m.twin.Capacity}
	foretell := m.outlook.Ahead
	if m.Foretell != nil {
		foretell = m.Foretell
	}
	ahead, ok := foretell(now, m.set.Horizon)
	if !ok {
		return
	}
	aim := Aim{Minimum: m.set.Minimum + margin, Floor: s.Floor * m.twin.Capacity}
	cost, cold := m.twin.unheated(from, &ahead, &aim)
	m.hard.add(cost, cold, m.set.Every)
	aim.Price = m.hard.price()
	var warm []float64
	if old != nil {
		shift := int(now-m.planned) / block
		for b := shift; b < old.blocks; b++ {
			warm = append(warm, old.Duty(b*block))
		}
	}
	m.planned = now
	if cold == 0 {
		m.plan = NewPlan(m.twin, aim, m.set.Drive, from, []Ahead{ahead}, m.set.Horizon, 0, nil)
		return
	}
	m.plan = NewPlan(m.twin, aim, m.set.Drive, from, m.outlook.scenarios(now, ahead, m.set.Scenarios), m.set.Horizon, m.set.Shared/block, warm)
	m.plan.Improve(m.set.Budget)
}

// unheated is what a course without heat costs and how many of its steps are too cold.
func (t *Twin) unheated(n Now, a *Ahead, aim *Aim) (cost, cold float64) {
	var l link
	for k := range a.House {
		t.after(&n, a.House[k], a.Sun[k], 0, 0, &l)
		n = l.end()
		if below := aim.Minimum - l.air; below > 0 {
			cost += below * below
			cold++
		}
	}
	return cost, cold
}

// Duty that the plan has for a slot: a share of full conductance; absent without a
// plan.
func (m *Mind) Duty(slot int64) Known {
	if m.plan == nil {
		return math.NaN()
	}
	return m.plan.Duty(int(slot - m.planned))
}

// Outlook from a slot on.
func (m *Mind) Outlook(now int64, n int) (Ahead, bool) { return m.outlook.Ahead(now, n) }
