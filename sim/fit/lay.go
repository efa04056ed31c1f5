package fit

import (
	"math"
	"slices"
)

// kind is of what stretch and of which place a judged difference is: each has its own
// width, because a day's sun is known worse than a night's dark.
type kind uint8

const (
	nightTank kind = iota
	nightAir
	dayTank
	dayAir
	inBed
	kinds // how many
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

// laid is a record made ready to be simulated.
type laid struct {
	cells  []cell
	phases []phase   // all that there are
	tank   []float64 // °C, NaN where it is not believed
	air    []float64 // °C, filled over gaps
	bed    []float64 // °C, NaN where no probe is in it
	driven []bool    // the minute has all that drives it
	begins []bool    // tank and air begin anew
	forced []bool    // the air is held to what was read: vents, or no air believed
	held   []bool    // the tank is held to what was read: nobody knows what heats it
	dark   []bool
	judged []bool // the end of a minute is judged
	block  []int  // of half a day
	night  []int  // from noon to noon; -1 where left out
	heated bool   // it is known what heats the tank
	// restarts are minutes in which nobody knows how warm the bed is: the first, and those
	// after a long hole in the air.
	restarts []int
}

// How a record is laid out. All are choices of ours: a piece is long enough for a slope to
// stand above a probe's steps, and short enough that what no model knows does not pile up.
const (
	piece      = 3 * 60 // minutes
	judgeEvery = 5      // minutes
	bridged    = 30     // minutes over which a greenhouse's air is drawn straight
	ventMargin = 1.5    // K below the vents' opening, where they may begin to leak
	limitLess  = 10.0   // K below the element's end, where it may begin to give less
)

// lay makes a record ready for a model of which only the limits count.
func lay(r *Record, m *Model, noon int) *laid {
	n := len(r.Minutes)
	l := &laid{
		cells: make([]cell, n), tank: make([]float64, n), air: make([]float64, n), bed: make([]float64, n), driven: make([]bool, n), begins: make([]bool, n),
		forced: make([]bool, n), dark: make([]bool, n), held: make([]bool, n), judged: make([]bool, n), block: make([]int, n), night: make([]int, n),
	}
	houses := make([]float64, n)
	for k := range r.Minutes {
		x := &r.Minutes[k]
		l.tank[k], l.air[k], l.bed[k], houses[k] = x.Tank, x.Air, x.Bed, x.House
		since := k - noon + 24*60
		l.block[k], l.night[k] = since/(12*60), since/(24*60)
	}
	for _, place := range [][]float64{l.tank, l.air, l.bed, houses} {
		distrust(place)
	}
	bridge(houses, bridged)
	l.heated = r.Heated
	l.drive(r, houses)
	number := l.numbering()
	warm := slices.Clone(l.tank)
	bridge(warm, n)
	for k := range l.cells {
		if l.cells[k].tank = warm[k]; !known(warm[k]) {
			l.cells[k].tank = 45
		}
		l.cells[k].part(k > 0 && l.cells[k-1].on > 0, number)
	}
	for k, c := range l.tank {
		l.driven[k] = l.driven[k] && !(c > m.Limit-limitLess)
	}
	l.begin(m)
	return l
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
			c.level = 0.7 * c.sun // about what a steep panel to the south sees in winter
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

// begin says where pieces begin and what is judged.
func (l *laid) begin(m *Model) {
	l.forced = make([]bool, len(l.cells))
	for k := range l.air {
		l.forced[k] = !known(l.air[k]) || m.Vent > 0 && l.air[k] > m.VentOpens-ventMargin
	}
	seen := append([]float64(nil), l.air...)
	bridge(l.air, len(l.air))
	since := piece
	for k := range l.cells {
		since++
		if k == 0 || !l.driven[k-1] {
			since = piece
		}
		if since >= piece && l.driven[k] && known(l.tank[k]) && known(seen[k]) {
			l.begins[k], since = true, 0
		}
		l.judged[k] = since < piece && since > 0 && since%judgeEvery == 0 && known(l.tank[k])
	}
	l.restart(seen)
}

// longHole is for how many minutes the air may be unknown before the bed is too. Our choice.
const longHole = 6 * 60

// restart finds where the bed begins anew.
func (l *laid) restart(seen []float64) {
	hole := longHole
	for k, x := range seen {
		if hole++; !known(x) {
			continue
		}
		if hole > longHole {
			l.restarts = append(l.restarts, k)
		}
		hole = 0
	}
}

// bedAt is the bed where it begins anew for the nth time.
func (l *laid) bedAt(m *Model, n, k int) float64 {
	switch {
	case known(l.bed[k]):
		return l.bed[k]
	case n < len(m.BedAt):
		return l.air[k] + m.BedAt[n]
	}
	return l.air[k]
}

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

// stuck is for how many minutes a probe says exactly the same before it is not believed.
const stuck = 3 * 60

// distrust takes out where a probe stands still.
func distrust(place []float64) {
	same := 0
	for k := 1; k <= len(place); k++ {
		if k < len(place) && place[k] == place[k-1] {
			same++
			continue
		}
		if same >= stuck {
			for j := k - 1 - same; j < k; j++ {
				place[j] = math.NaN()
			}
		}
		same = 0
	}
}

// bridge draws a line over gaps of at most so many minutes, and holds the ends.
func bridge(place []float64, longest int) {
	last := -1
	for k := range place {
		if !known(place[k]) {
			continue
		}
		if gap := k - last - 1; gap > 0 && gap <= longest {
			from := place[k]
			if last >= 0 {
				from = place[last]
			}
			for j := 1; j <= gap; j++ {
				place[last+j] = from + (place[k]-from)*float64(j)/float64(gap+1)
			}
		}
		last = k
	}
	if gap := len(place) - 1 - last; last >= 0 && gap <= longest {
		for j := last + 1; j < len(place); j++ {
			place[j] = place[last]
		}
	}
}
