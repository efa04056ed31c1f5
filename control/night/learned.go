package night

import "math"

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
