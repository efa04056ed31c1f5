package night

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// winter is the greenhouse's air and the sun of so many invented days and two more, by the
// slot, from noon on, which is at 17:00 UTC.
func winter(days int) (house, sun []float64) {
	r := rand.New(rand.NewPCG(3, 11))
	mean, bright := 0.0, 0.5
	for slot := range (days + 2) * slotsADay {
		if slot%slotsADay == 0 {
			mean, bright = 0.7*mean+2*r.NormFloat64(), r.Float64()
		}
		hour := float64(slot%slotsADay) / 6
		house = append(house, mean+5*math.Cos((hour-2)*math.Pi/12))
		sun = append(sun, bright*max(0, math.Cos(hour*math.Pi/10)))
		if hour > 5 && hour < 19 {
			sun[slot] = 0
		}
	}
	return house, sun
}

// winterNoon is when it begins.
var winterNoon = time.Date(2026, 1, 1, 17, 0, 0, 0, time.UTC)

// lived is a mind after so many days of winter, in which the twin itself was the
// greenhouse, up to an hour after dusk; and the sample it saw last. meet, if given, bends
// each sample before it is seen.
func lived(days, scenarios int, meet func(m *Mind, slot int, s *Sample)) (*Mind, Sample) {
	r := rand.New(rand.NewPCG(4, 11))
	house, sun := winter(days)
	set := Usual(large())
	set.Minimum, set.Noon, set.Learn = 5, 102, false
	set.Scenarios, set.Shared, set.Horizon = scenarios, 24, 144
	m := NewMind(set)
	n := Now{Tank: 50, Air: 8, Bed: 9, Charge: 1000}
	var s Sample
	var l link
	for slot := range days*slotsADay + 36 {
		duty := 0.0
		if n.Air < 5 && n.Charge > 700 {
			duty = 1
		}
		s = Sample{
			Time: winterNoon.Add(time.Duration(slot) * Step * time.Second), Passed: Step * time.Second,
			Tank: n.Tank + 0.1*r.NormFloat64(), Air: n.Air + 0.1*r.NormFloat64(), House: house[slot] + 0.1*r.NormFloat64(),
			Bed: Absent(), Sun: sun[slot], Flow: duty, Power: duty, Charge: n.Charge / m.twin.Capacity, Floor: 0.5,
		}
		if meet != nil {
			meet(m, slot, &s)
		}
		m.Observe(&s)
		m.set.Twin.after(&n, house[slot], sun[slot], onLevel*sun[slot], duty, duty, &l)
		n = l.end()
	}
	return m, s
}

// roll is the time of a bare loop of the twin's steps through a plan's horizon, ns.
func roll(t *Twin) float64 {
	a, n, sum := coldSpell(144, 1), Now{Tank: 50, Air: 8, Bed: 9, Charge: 1000}, 0.0
	var l link
	const times = 3000
	began := time.Now()
	for range times {
		at := n
		for k := range a.House {
			t.after(&at, a.House[k], a.Sun[k], a.level(k), 0.5, 0.5, &l)
			at = l.end()
		}
		sum += at.Air
	}
	sink = sum
	return float64(time.Since(began)) / times
}

var sink float64

// beside runs a piece of work, and prints its time beside that of a bare roll.
func beside(b *testing.B, t *Twin, work func()) {
	bare := roll(t)
	b.ReportAllocs()
	for b.Loop() {
		work()
	}
	b.ReportMetric(float64(b.Elapsed())/float64(b.N)/bare, "rolls")
}

// BenchmarkReplan is one plan from its outlook to its last improvement.
func BenchmarkReplan(b *testing.B) {
	for name, scenarios := range map[string]int{"1 past": 1, "8 pasts": 8} {
		b.Run(name, func(b *testing.B) {
			m, s := lived(20, scenarios, nil)
			if !m.cold || len(m.plan.ahead) != scenarios {
				b.Fatalf("a warm night, or %d pasts", len(m.plan.ahead))
			}
			now, graded := slotOf(s.Time), 0
			beside(b, &m.twin, func() {
				m.replan(now, &s)
				m.Think(m.set.Budget)
				graded = m.plan.graded
			})
			b.ReportMetric(float64(graded), "evaluations")
		})
	}
}

// BenchmarkThought is what a tick may take: four steps of a plan.
func BenchmarkThought(b *testing.B) {
	m, _ := lived(20, 8, nil)
	beside(b, &m.twin, func() {
		m.left = 4
		m.Think(4)
	})
}

func BenchmarkAhead(b *testing.B) {
	m, s := lived(20, 1, nil)
	now := slotOf(s.Time)
	beside(b, &m.twin, func() {
		a, _ := m.Outlook(now, 144)
		sink = a.House[9]
	})
}

func BenchmarkLearn(b *testing.B) {
	m, s := lived(20, 1, nil)
	now := slotOf(s.Time)
	beside(b, &m.twin, func() { m.learn(now) })
}

func BenchmarkFallingBack(b *testing.B) {
	m, s := lived(20, 1, nil)
	now := slotOf(s.Time)
	beside(b, &m.twin, func() { m.level(now) })
}

// BenchmarkAdvice is the advice of a slot with its story.
func BenchmarkAdvice(b *testing.B) {
	m, s := lived(20, 8, nil)
	now := slotOf(s.Time)
	beside(b, &m.twin, func() {
		m.told = 0
		m.advise(now)
	})
}
