package night

// Recall gives the mind what it remembered before it began anew: it learns from that at
// once, follows the bed through it, and knows how hard the season is. The plan is then made
// anew.
func (m *Mind) Recall(old *Memory) {
	m.memory.Recall(old)
	now := m.memory.now
	if now <= 0 {
		return
	}
	for slot := now - held; slot < now; slot++ {
		m.warmBed(slot)
	}
	if m.set.Learn {
		m.learn(now)
	}
	m.endure(now)
	m.anew = true
}

// endure judges anew how hard the season has been, by what is remembered of two weeks.
func (m *Mind) endure(now int64) {
	m.hard = severity{}
	for slot := now - twoWeeks; slot < now; slot += recallEvery {
		m.endured(slot, now)
	}
}

// recallEvery is how far apart the courses are by which a recalled season is judged.
const recallEvery = 36

// endured adds the course from a slot on, as it came and without heat, to what is known of
// the season, as far as it is remembered.
func (m *Mind) endured(slot, now int64) {
	first := m.memory.find(slot)
	if first == nil || !known(float64(first.Tank)) || !known(float64(first.Air)) {
		return
	}
	var a Ahead
	for k := slot; k < min(slot+int64(m.set.Horizon), now); k++ {
		house, sun := m.memory.house(k), m.memory.sun(k)
		if !known(house) || !known(sun) {
			break
		}
		a.House, a.Sun = append(a.House, house), append(a.Sun, sun)
	}
	if len(a.House) < slotsADay/2 {
		return
	}
	aim := Aim{Minimum: m.set.Minimum + m.set.Margin, Harm: m.set.Harm}
	n := Now{Tank: float64(first.Tank), Air: float64(first.Air), Bed: float64(first.Air), Charge: m.twin.Capacity}
	cost, cold := m.twin.unheated(n, &a, &aim)
	m.hard.add(cost, cold, recallEvery)
}

// Remembers is a copy of what the mind remembers.
func (m *Mind) Remembers() *Memory {
	c := m.memory
	return &c
}

// Twin is the small greenhouse as it was learned last, or the file's.
func (m *Mind) Twin() Twin { return m.twin }

// Bed is the bed's temperature, °C: as its probe said last, else as the twin has followed it
// beside the air; absent before any.
func (m *Mind) Bed() Known { return m.bed }
