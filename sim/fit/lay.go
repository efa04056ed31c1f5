package fit

import (
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
	stuck  []Left // probes that stood still
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
	for i, place := range [][]float64{l.tank, l.air, l.bed, houses} {
		l.stuck = append(l.stuck, distrust(place, probed[i])...)
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

// begin says where pieces begin and what is judged.
func (l *laid) begin(m *Model) {
	l.forced = make([]bool, len(l.cells))
	for k := range l.air {
		unlit := !l.heated && !l.dark[k] // a sun told by a battery's current would bend cover and bed
		l.forced[k] = unlit || !known(l.air[k]) || m.Vent > 0 && l.air[k] > m.VentOpens-ventMargin
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
