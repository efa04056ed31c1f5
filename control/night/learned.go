package night

import "math"

// learn refits the twin. Where too little was seen the figures stay, and the bed follows
// the air as before.
func (m *Mind) learn(now int64) {
	old := m.fit
	var anew bool
	if m.fit, anew = Learn(&m.set.Twin, &m.memory, now, old, 3); anew {
		m.fit.stay(&old)
		m.twin = m.set.Twin.times(&m.fit.logs)
		m.lessons = m.lesson()
		if s := m.memory.find(now - 1); s == nil || !known(float64(s.Bed)) {
			m.bed = m.fit.bed
		}
	}
	m.memory.drain.correct(&m.twin, &m.set.Twin)
}

// daily is by how much the logarithm of a figure may change from one lesson to the next:
// what a fault teaches in three days stays within 0.64 and 1.57 of the figure. Our choice.
const daily = 0.15

// stay keeps a fit near the one before, where there was one.
func (f *Fit) stay(old *Fit) {
	if !old.ok {
		return
	}
	for i, x := range old.logs {
		f.logs[i] = min(max(f.logs[i], x-daily), x+daily)
	}
}

// Learned is a figure of the twin: by the file, by the record, and how far the latter may
// be off (one standard deviation, as a share), in Unit.
type Learned struct {
	Name, Unit     string
	File, Value    float64
	Width          float64
	Told, Striking bool // it is worth telling; it differs from the file's by more than chance
}

// tellable is the standard error above which a figure is not told: of what the record says
// by itself, without the pull to the file's value, as a share. Where pump, fans or sun
// never ran, or nothing else swung, the record says nothing, and that error is beyond all
// bounds. A figure differs strikingly from the file's by more than so many widths and so
// large a share. Our choices.
const (
	tellable    = 0.25
	strikeWidth = 2.0
	strikeShare = 0.15
)

// Learned are the figures as they were learned last, none before the first time, and
// how far an hour's forecast is off, as a share of what is usual.
func (m *Mind) Learned() (all []Learned, off float64) {
	if !m.fit.ok {
		return nil, 0
	}
	for i := range m.fit.logs {
		all = append(all, m.fit.learned(i, *m.set.Twin.at(i), m.set.Twin.swift(i)))
	}
	return all, m.fit.rms
}

// swift says that a figure acts faster than twice the twin's steps. What is learned of it
// then makes up for the steps: it is right for the plan, and no property of the greenhouse.
func (t *Twin) swift(i int) bool {
	switch i {
	case ofCoil, ofFanHeat:
		return t.Tank < 2*Step*(t.Coil+t.TankLoss)
	case ofAir:
		return t.Air < 2*Step*(t.Cover+t.BedToAir)
	}
	return false
}

// learned is a figure that the file has a value of. Where forecasts are off by more than
// is usual, so are the widths.
func (f *Fit) learned(i int, file float64, swift bool) Learned {
	x, own := f.logs[i], f.own(i)
	l := Learned{Name: names[i], Unit: units[i], File: file, Value: file * math.Exp(x), Width: f.width[i] * max(1, f.rms)}
	l.Told = file > 0 && own*max(1, f.rms) <= tellable && math.Abs(x) < farthest && !swift
	l.Striking = l.Told && math.Abs(x) > strikeWidth*l.Width && math.Abs(math.Expm1(x)) > strikeShare
	return l
}

// own is the standard error of a figure by the record alone.
func (f *Fit) own(i int) float64 {
	w := f.width[i]
	if precision := 1/(w*w) - 1/(prior*prior); precision > 0 {
		return 1 / math.Sqrt(precision)
	}
	return math.Inf(1)
}

// lesson are the figures worth telling; nil where there are none.
func (m *Mind) lesson() *[]Learned {
	all, _ := m.Learned()
	var told []Learned
	for _, l := range all {
		if l.Told {
			told = append(told, l)
		}
	}
	if told == nil {
		return nil
	}
	return &told
}

// warmBed lets the bed follow the air and the sun of a slot, where no probe is in it.
func (m *Mind) warmBed(slot int64) {
	s, ok := m.memory.Look(slot)
	if b := float64(s.Bed); ok && known(b) {
		m.bed = b
		return
	}
	air, level := float64(s.Air), float64(s.Level)
	if !ok || !known(air) {
		return
	}
	if !known(m.bed) {
		m.bed = air
	}
	if !known(level) {
		level = 0
	}
	m.bed = m.twin.bedAfter(m.bed, air, level)
}

// bedAfter is the bed a step later beside an air and a sun on the level.
func (t *Twin) bedAfter(bed, air, level float64) float64 {
	return (t.Bed/Step*bed + t.BedToAir*air + t.BedToSoil*t.Soil + t.BedSun*level) / (t.Bed/Step + t.BedToAir + t.BedToSoil)
}
