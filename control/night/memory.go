package night

import (
	"math"
	"time"
)

// slotsADay and days say how much a memory holds.
const (
	slotsADay = 144
	days      = 21
	held      = days * slotsADay
)

// Span is how far back a memory goes.
const Span = days * 24 * time.Hour

// Known is a figure that may be absent: NaN.
type Known = float64

// Absent is a figure that is not known.
func Absent() Known { return math.NaN() }

func known(x Known) bool { return !math.IsNaN(x) }

// Sample is what one step of the loop saw and did.
type Sample struct {
	Time                  time.Time     // of the wall clock, and it is right
	Passed                time.Duration // since the sample before
	Tank, Air, House, Bed Known         // °C
	Sun                   Known         // share
	Flow, Power           float64       // shares of conductance and power that ran
	// Drawn is what the battery's meter says that it gives, as a share of its capacity an
	// hour; negative while it charges.
	Drawn         Known
	Charge, Floor Known // share of the battery; the one below which nothing runs
}

// Slot is the mean of ten minutes. What was known in less than half of them is
// absent.
type Slot struct {
	Tank, Air, House, Bed, Sun float32
	Flow, Power                float32
	// TankFirst and AirFirst are as the slot began, absent where it was not seen to.
	TankFirst, AirFirst float32
	Level               float32 // sun on the level, as a share of 1000 W/m²
}

// NewMemory remembers nothing yet; skies may be nil.
func NewMemory(skies Skies) *Memory { return &Memory{light: daylight{skies: skies}} }

// Memory is the recent past in slots, in a ring. The zero value remembers nothing, and
// knows no skies.
type Memory struct {
	light daylight
	slots [held]Slot
	at    [held]int64 // which slot of all time a place holds, plus one; 0 none
	now   int64       // the slot being gathered
	sum   gathered
	drain drain
}

// gathered are the sums of the slot at hand, by weight in seconds.
type gathered struct {
	of, weight [5]float64
	flow       float64
	power      float64
	all        float64
	opened     bool  // seen from its beginning
	tank, air  Known // then
}

// opening is for how long a slot's first sample is as the slot began, s. Our choice.
const opening = 120

// slotOf is the slot of all time that a time is in.
func slotOf(t time.Time) int64 { return int64(math.Floor(float64(t.Unix()) / Step)) }

// Add takes a sample in and says whether that completed a slot. A clock that was set
// back leaves what it remembers of the time to come to be written over. A sample of a time
// that cannot be is passed over.
func (m *Memory) Add(seen *Sample) bool {
	sample, ok := seen.sane()
	if !ok {
		return false
	}
	s := &sample
	m.drain.add(s)
	slot, complete := slotOf(s.Time), false
	if slot != m.now {
		complete = m.sum.all > 0
		if complete {
			m.put(m.now, m.sum.mean())
		}
		m.now, m.sum = slot, gathered{}
		if float64(s.Time.Unix())-float64(slot)*Step < opening {
			m.sum.opened, m.sum.tank, m.sum.air = true, s.Tank, s.Air
		}
	}
	m.sum.add(s)
	return complete
}

func (g *gathered) add(s *Sample) {
	w := min(s.Passed.Seconds(), Step)
	for i, x := range [...]Known{s.Tank, s.Air, s.House, s.Bed, s.Sun} {
		if known(x) {
			g.of[i] += w * x
			g.weight[i] += w
		}
	}
	g.flow += w * s.Flow
	g.power += w * s.Power
	g.all += w
}

func (g *gathered) mean() Slot {
	var x [5]float32
	for i := range x {
		x[i] = float32(math.NaN())
		if g.weight[i] > 0 && g.weight[i] >= g.all/2 {
			x[i] = float32(g.of[i] / g.weight[i])
		}
	}
	tank, air := Absent(), Absent()
	if g.opened {
		tank, air = g.tank, g.air
	}
	return Slot{
		Tank: x[0], Air: x[1], House: x[2], Bed: x[3], Sun: x[4],
		Flow: float32(g.flow / g.all), Power: float32(g.power / g.all),
		TankFirst: float32(tank), AirFirst: float32(air),
	}
}

func (m *Memory) put(slot int64, s Slot) {
	i := slot % held
	s.Level = float32(m.light.level(slot, float64(s.Sun)))
	m.slots[i], m.at[i] = s, slot+1
}

// Recall takes in what another memory holds of slots that this one does not know. Of one
// that has seen nothing yet, it takes the time too.
func (m *Memory) Recall(old *Memory) {
	m.drain.recall(&old.drain)
	if m.now == 0 {
		m.now = old.now
	}
	for i, at := range old.at {
		if at > 0 && at > m.at[i] && at-1 != m.now {
			m.slots[i], m.at[i] = old.slots[i], at
		}
	}
}

// Look is what a slot of all time held; not ok if it is not remembered.
func (m *Memory) Look(slot int64) (s Slot, ok bool) {
	if found := m.find(slot); found != nil {
		return *found, true
	}
	return s, false
}

// find a slot of all time; nil if it is not remembered.
func (m *Memory) find(slot int64) *Slot {
	if i := slot % held; slot >= 0 && m.at[i] == slot+1 {
		return &m.slots[i]
	}
	return nil
}

// house is the greenhouse's air of a slot, °C.
func (m *Memory) house(slot int64) Known {
	if s := m.find(slot); s != nil {
		return float64(s.House)
	}
	return Absent()
}

// sun of a slot, as a share.
func (m *Memory) sun(slot int64) Known {
	if s := m.find(slot); s != nil {
		return float64(s.Sun)
	}
	return Absent()
}

// Until is what the memory holds of the slots that end before a time. The memory itself is
// not changed.
func (m *Memory) Until(t time.Time) *Memory {
	next := *m
	end := slotOf(t)
	for i, at := range next.at {
		if at > end { // at is the slot plus one
			next.at[i] = 0
		}
	}
	next.now, next.sum = min(next.now, end), gathered{}
	return &next
}
