package fit

import (
	"math"
)

// cell is what drives a minute.
type cell struct {
	house, sun, level, power float64
	on, stirred, blown       float64
	speed                    float64
	tank                     float64       // °C, as far as it is known
	glow                     float64       // the sun on the level, as usual where it is not known
	phases                   [doings]int16 // of laid.phases
	parts                    int           // how many
}

// part makes the phases of a minute: what went on before goes on first.
func (c *cell) part(running bool, number func(phase) int16) {
	rest := max(0, 1-c.on-c.stirred-c.blown)
	of := func(x, all float64) int8 { return int8(all*min(max(x, 0), 1) + 0.5) }
	shares := [doings]float64{resting: rest, blowing: c.blown, stirring: c.stirred, carrying: c.on}
	warmth := int8(math.Round(c.tank / warmStep))
	left := int8(parts)
	for i := range doings {
		d := i
		if running {
			d = doings - 1 - i
		}
		p := phase{doing: d, part: min(of(shares[d], parts), left), speed: of(c.speed, 100), warmth: warmth}
		if d == resting || d == blowing {
			p.speed, p.warmth = 0, 0
		}
		if i == doings-1 {
			p.part = left // what rounding left
		}
		if p.part > 0 {
			c.phases[c.parts], left = number(p), left-p.part
			c.parts++
		}
	}
}

// numbering gives phases their numbers, each as it is first met.
func (l *laid) numbering() func(phase) int16 {
	numbers := make(map[phase]int16)
	return func(p phase) int16 {
		n, ok := numbers[p]
		if !ok {
			n = int16(len(l.phases))
			numbers[p], l.phases = n, append(l.phases, p)
		}
		return n
	}
}

// drive fills in what drives each minute.
func (l *laid) drive(r *Record, houses []float64) {
	cloudless := make([]float64, len(l.cells))
	for k := range l.cells {
		x, c := &r.Minutes[k], &l.cells[k]
		next := min(k+1, len(houses)-1)
		*c = cell{house: (houses[k] + houses[next]) / 2, sun: x.Sun, power: x.Power, on: x.On, speed: x.Speed, stirred: x.Stirred, blown: x.Blown}
		clear := 1.0
		if r.Skies != nil {
			sky := r.Skies(r.slot(k))
			clear = sky.Clear
			cloudless[k] = sky.OnLevel(clear)
			c.level = sky.OnLevel(c.sun)
		} else {
			c.level = 0.7 * c.sun // beside steep panels to the south in winter; our estimate, as in package night
		}
		l.dark[k] = clear <= 0 || r.Skies == nil && c.sun < darkness
		l.held[k] = !r.Heated && !l.dark[k]
		if clear <= 0 && !known(c.sun) {
			c.sun, c.level = 0, 0
		}
		l.driven[k] = x.Seen && known(c.house) && known(c.sun)
	}
	l.glow(cloudless)
}

// glow fills in the sun on the level where it is not known: as much of a cloudless sky's as
// there was in the mean of the record.
func (l *laid) glow(clear []float64) {
	sum, most := 0.0, 0.0
	for k := range l.cells {
		if x := l.cells[k].level; known(x) && clear[k] > 0 {
			sum, most = sum+x, most+clear[k]
		}
	}
	for k := range l.cells {
		c := &l.cells[k]
		if c.glow = c.level; !known(c.level) {
			c.glow = clear[k] * sum / max(most, 1e-9)
		}
	}
}

// darkness is the sun below which it is night where no sky is known, as a share.
const darkness = 0.01

// speeds says that pump and fans ran at more than one.
func (l *laid) speeds() bool {
	var slow, fast int
	for k := range l.cells {
		switch c := &l.cells[k]; {
		case c.on > 0.5 && c.speed < 0.8:
			slow++
		case c.on > 0.5:
			fast++
		}
	}
	return slow >= 60 && fast >= 60
}
