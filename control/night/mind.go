package night

import (
	"math"
	"time"
)

// margin is how far above the crop's minimum a plan aims, K. Our choice.
const margin = 0.1

// Mind remembers, learns, looks ahead and plans. It is not safe for concurrent use.
type Mind struct {
	set     Settings
	twin    Twin
	memory  Memory
	outlook Outlook
	bed     Known
	fit     Fit
	hard    severity
	drain   drain
	plan    *Plan
	cold    bool      // the plan begins with a course too cold without heat
	planned int64     // the slot at which the plan begins
	begun   time.Time // the time of that slot
	left    int       // steps of improvement not yet taken
	told    int64     // the slot of the advice
	wrong   int64     // the slot until which the twin is not believed
	latest  Sample
	advice  Advice

	// Foretell, if set, stands in place of the outlook.
	Foretell func(now int64, n int) (Ahead, bool)
}

// NewMind begins with what the file says.
func NewMind(s Settings) *Mind {
	m := &Mind{set: s, twin: s.Twin, bed: Absent(), advice: Advice{Way: Waiting, Why: JustBegun}}
	m.outlook = Outlook{memory: &m.memory, clear: s.Clear, noon: s.Noon}
	return m
}

// Observe takes a sample in and begins to think anew where a slot has ended. A sample
// whose Time is not known to be right must not be given; say Blind instead.
func (m *Mind) Observe(s *Sample) {
	m.drain.add(s)
	if !m.memory.Add(s) {
		return
	}
	now := slotOf(s.Time)
	m.latest = *s
	m.advice.Nights = m.memory.nights(now)
	m.warmBed(now - 1)
	m.judge(now)
	if m.set.Learn && now%slotsADay == m.set.Noon {
		m.learn(now)
	}
	if now%int64(m.set.Every) == 0 || m.plan == nil {
		m.replan(now, s)
	}
	m.advise(now)
}

// Recall gives the mind what it remembered before it began anew.
func (m *Mind) Recall(old *Memory) {
	m.memory.Recall(old)
	if !m.set.Learn {
		return
	}
	if now := m.memory.now; now > 0 {
		m.learn(now)
	}
}

// Blind says that the time of day is not known.
func (m *Mind) Blind() { m.plan, m.advice = nil, Advice{Way: Waiting, Why: ClockUnset} }

// Think takes up to so many steps at the plan.
func (m *Mind) Think(steps int) {
	if steps = min(steps, m.left); steps <= 0 || m.plan == nil {
		return
	}
	m.plan.Improve(steps)
	m.left -= steps
	m.told = 0
	m.advise(m.memory.now)
}

// Advice is what to do now.
func (m *Mind) Advice() Advice { return m.advice }

// advise puts the plan's duty of a slot, and once a slot its story, into the advice.
func (m *Mind) advise(slot int64) {
	switch {
	case m.plan == nil:
		m.advice = Advice{Way: Waiting, Why: m.advice.Why, Nights: m.advice.Nights}
		return
	case slot < m.wrong:
		m.level(slot)
		return
	}
	k := int(slot - m.planned)
	if m.told != slot && (m.left == 0 || m.told == 0) {
		m.advice.Story = m.plan.tell(m.begun, k)
		m.told = slot
	}
	m.advice.Way, m.advice.Why, m.advice.Cold, m.advice.Duty = Planned, NoDoubt, m.cold, m.plan.Duty(k)
}

// level advises the floor that heat and battery hold until morning by the file's own
// figures, because the learned ones were wrong.
func (m *Mind) level(slot int64) {
	m.advice = Advice{Way: Waiting, Why: TwinWrong, Nights: m.advice.Nights}
	a, ok := m.outlook.Ahead(slot, m.set.Horizon)
	if !ok || m.missing(&m.latest) != NoDoubt {
		return
	}
	n := m.outlook.Morning(slot, &a)
	a.House, a.Sun = a.House[:n], a.Sun[:n]
	f := m.set.Twin.Level(m.start(&m.latest), a, m.aim(&m.latest), m.set.Drive)
	m.advice = Advice{Way: Levelled, Why: TwinWrong, Nights: m.advice.Nights, Level: f.Now, Cold: f.Duty > 0 || !f.Whole}
}

// start of the twin by a sample.
func (m *Mind) start(s *Sample) Now {
	return Now{Tank: s.Tank, Air: s.Air, Bed: m.bed, Charge: s.Charge * m.twin.Capacity}
}

// aim of a plan but for its price.
func (m *Mind) aim(s *Sample) Aim {
	return Aim{Minimum: m.set.Minimum + margin, Harm: m.set.Harm, Floor: s.Floor * m.twin.Capacity}
}

// learn refits the twin.
func (m *Mind) learn(now int64) {
	m.fit = Learn(&m.set.Twin, &m.memory, now, m.fit, 3)
	if m.fit.ok {
		m.twin = m.set.Twin.times(&m.fit.logs)
		m.bed = m.fit.bed
	}
	m.drain.correct(&m.twin, &m.set.Twin)
}

// Learned is a figure of the twin: by the file, as a ratio to it by the record, and how
// far that ratio may be off (one standard deviation, as a share).
type Learned struct {
	Name        string
	File, Ratio float64
	Width       float64
}

// Learned are the figures as they were learned last, none before the first time, and
// how far an hour's forecast is off, as a share of what is usual.
func (m *Mind) Learned() (all []Learned, off float64) {
	if !m.fit.ok {
		return nil, 0
	}
	for i, x := range m.fit.logs {
		all = append(all, Learned{names[i], *m.set.Twin.at(i), math.Exp(x), m.fit.width[i]})
	}
	return all, m.fit.rms
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
	m.plan, m.left = nil, 0
	if m.advice.Why = m.missing(s); m.advice.Why != NoDoubt {
		return
	}
	from := m.start(s)
	foretell := m.outlook.Ahead
	if m.Foretell != nil {
		foretell = m.Foretell
	}
	ahead, ok := foretell(now, m.set.Horizon)
	if !ok {
		m.advice.Why = HouseUnseen
		return
	}
	aim := m.aim(s)
	cost, cold := m.twin.unheated(from, &ahead, &aim)
	m.hard.add(cost, cold, m.set.Every)
	aim.Price = m.hard.price(m.set.Thrift)
	warm := old.rest(int(now - m.planned))
	m.planned, m.begun, m.cold = now, s.Time, cold > 0
	if cold == 0 {
		m.plan = NewPlan(m.twin, aim, m.set.Drive, from, []Ahead{ahead}, m.set.Horizon, 0, nil)
		return
	}
	m.plan = NewPlan(m.twin, aim, m.set.Drive, from, m.outlook.scenarios(now, ahead, m.set.Scenarios), m.set.Horizon, m.set.Shared/block, warm)
	m.left = m.set.Budget
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
		t.after(&n, a.House[k], a.Sun[k], 0, 0, &l)
		n = l.end()
		if l.air < aim.Minimum {
			x, _ := aim.harm(l.air)
			cost += x
			cold++
		}
	}
	return cost, cold
}

// Outlook from a slot on.
func (m *Mind) Outlook(now int64, n int) (Ahead, bool) { return m.outlook.Ahead(now, n) }

// Twin as it is believed now.
func (m *Mind) Twin() Twin { return m.twin }

// Bed as it is believed.
func (m *Mind) Bed() float64 { return m.bed }
