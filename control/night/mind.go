package night

import "time"

// Mind remembers, learns, looks ahead and plans. It is not safe for concurrent use.
type Mind struct {
	set     Settings
	twin    Twin
	memory  Memory
	outlook Outlook
	skill   Skill // of a forecast from outside
	bed     Known
	fit     Fit
	hard    severity
	plan    *Plan
	cold    bool      // the plan begins with a course too cold without heat
	planned int64     // the slot at which the plan begins
	begun   time.Time // the time of that slot
	anew    bool      // the plan was made before the past was known
	left    int       // steps of improvement not yet taken
	told    int64     // the slot of the advice
	wrong   int64     // the slot until which the twin is not believed
	nights  int       // that the outlook rests on
	rests   Source    // of the latest look ahead
	lessons *[]Learned
	latest  Sample
	advice  Advice

	// Foretell, if set, stands in place of the outlook.
	Foretell func(now int64, n int) (Ahead, bool)
}

// NewMind begins with what the file says.
func NewMind(s Settings) *Mind {
	m := &Mind{set: s, twin: s.Twin, bed: Absent(), advice: Advice{Way: Waiting, Why: JustBegun}}
	m.memory.light.skies = s.Skies
	m.outlook = Outlook{memory: &m.memory, noon: s.Noon}
	return m
}

// Observe takes a sample in and begins to think anew where a slot has ended. A sample
// whose Time is not known to be right must not be given; say Blind instead.
func (m *Mind) Observe(seen *Sample) {
	sample, ok := seen.sane()
	if !ok {
		m.Blind()
		return
	}
	s := &sample
	now := slotOf(s.Time)
	if !m.memory.Add(s) {
		if m.anew && m.plan != nil && now == m.memory.now {
			m.told = 0
			m.replan(now, s)
			m.advise(now)
		}
		return
	}
	m.latest = sample
	m.nights = m.memory.nights(now)
	m.skill.Learn(&m.outlook, now)
	m.warmBed(now - 1)
	m.judge(now)
	if m.set.Learn && now%slotsADay == m.set.Noon {
		m.learn(now)
	}
	if every := int64(m.set.Every); m.anew || now%every == 0 || m.plan == nil || now < m.planned || now >= m.planned+every {
		m.replan(now, s)
	}
	m.advise(now)
}

// Wish takes up what the grower has changed: the next sample brings a plan by it.
func (m *Mind) Wish(w Wishes) {
	if w == m.set.Wishes {
		return
	}
	m.set.Wishes = w
	if m.memory.now > 0 {
		m.endure(m.memory.now)
	}
	m.anew = true
}

// Wishes are those that the mind follows.
func (m *Mind) Wishes() Wishes { return m.set.Wishes }

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

// advise puts the plan's duty of a slot, and once a slot its story, into the advice. A plan
// of another time, the clock having been set, is none.
func (m *Mind) advise(slot int64) {
	if m.plan != nil && (slot < m.planned || slot >= m.planned+int64(m.plan.steps)) {
		m.plan = nil
	}
	switch {
	case m.plan == nil:
		m.advice = m.advised(Waiting, m.advice.Why)
		return
	case slot < m.wrong:
		m.level(slot)
		return
	}
	k := int(slot - m.planned)
	if m.told != slot && (m.left == 0 || m.told == 0) {
		course := m.plan.expect(m.begun, k)
		m.advice.Story, m.advice.Course = m.plan.tell(m.begun, k), &course
		m.told = slot
	}
	story, course := m.advice.Story, m.advice.Course
	m.advice = m.advised(Planned, NoDoubt)
	m.advice.Cold, m.advice.Duty, m.advice.Story, m.advice.Course = m.cold, m.plan.Duty(k), story, course
	if m.set.Drive == Pulsed && m.set.Twin.Light() {
		m.advice.Hold, m.advice.Level = true, m.plan.air(k)
	}
}

// advised is an advice with what it rests on.
func (m *Mind) advised(w Way, why Doubt) Advice {
	a := Advice{Way: w, Why: why, Nights: m.nights, Rests: m.rests, Learned: m.lessons}
	a.Record.Outlook, a.Record.Forecast, a.Record.Bets = m.skill.Record()
	return a
}

// level advises the floor that heat and battery hold until morning by the file's own
// figures, because the learned ones were wrong.
func (m *Mind) level(slot int64) {
	m.advice = m.advised(Waiting, TwinWrong)
	a, ok := m.foretell(slot)
	if !ok || m.missing(&m.latest) != NoDoubt {
		return
	}
	n := m.outlook.Morning(slot, &a)
	a = a.First(n)
	f := m.set.Twin.Level(m.start(&m.latest), a, m.aim(&m.latest), m.set.Drive)
	m.advice = m.advised(Levelled, TwinWrong)
	m.advice.Level, m.advice.Cold = f.Now, f.Duty > 0 || !f.Whole
}

// Hear takes a forecast from outside in; it stands until the next. The error says why it
// is refused.
func (m *Mind) Hear(f Forecast) error { return m.skill.Hear(f) }

// Told is the forecast from outside that stands, if one was heard.
func (m *Mind) Told() (Forecast, bool) { return m.skill.latest, m.skill.heard }

// Outlook from a slot on.
func (m *Mind) Outlook(now int64, n int) (Ahead, bool) { return m.outlook.Ahead(now, n) }

// Look is what the mind remembers of a slot; not ok if nothing.
func (m *Mind) Look(slot int64) (Slot, bool) { return m.memory.Look(slot) }
