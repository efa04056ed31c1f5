package picture

import "time"

// Lane is one thing that held for some of the time: the pump ran, or one reason
// stood. Head begins its words and is printed bold.
type Lane struct {
	Head, Text string
	frame      Frame
	total      time.Duration
	spans      []span
	held       []time.Duration // by bucket
}

type span struct{ from, to time.Time }

// NewLane is an empty lane.
func NewLane(f Frame, head, text string) *Lane {
	l := &Lane{Head: head, Text: text, frame: f}
	if n := len(f.edges); n > 0 {
		l.held = make([]time.Duration, n-1)
	}
	return l
}

// Hold says that it held from a time to another; times are to grow.
func (l *Lane) Hold(from, to time.Time) {
	from, to, some := l.frame.clip(from, to)
	if !some {
		return
	}
	l.total += to.Sub(from)
	if l.held == nil {
		l.extend(from, to)
		return
	}
	for some {
		i, _ := l.frame.bucket(from)
		end := l.frame.edges[i+1]
		if end.After(to) {
			end = to
		}
		l.held[i] += end.Sub(from)
		from, some = end, to.After(end)
	}
}

// blink is the pause, as a share of the frame, that no eye sees: a tenth of a unit.
const blink = 1.0 / 3000

func (l *Lane) extend(from, to time.Time) {
	if n := len(l.spans); n > 0 {
		last := &l.spans[n-1]
		if pause := from.Sub(last.to); pause >= 0 && float64(pause) < blink*float64(l.frame.length()) {
			last.to = to
			return
		}
	}
	l.spans = append(l.spans, span{from, to})
}

// cell is the height of a field's cells in time, and cells how many a column has.
const (
	cell  = 20 * time.Minute
	cells = int(24 * time.Hour / cell)
)

// Field tells at which hours something ran, a column from noon to noon for every
// day. It is drawn where the frame is drawn by single days.
type Field struct {
	Name  string
	frame Frame
	noons []time.Time
	ran   [][cells]bool
}

// NewField is an empty field; it stays empty where the frame is not drawn by
// single days.
func NewField(f Frame, name string) *Field {
	x := &Field{Name: name, frame: f}
	if !f.Daily() || f.perBucket() > 1 {
		return x
	}
	y, m, d := f.From.Date()
	for i := -1; ; i++ {
		at := time.Date(y, m, d+i, 12, 0, 0, 0, f.From.Location())
		x.noons = append(x.noons, at)
		if !at.Before(f.To) {
			break
		}
	}
	x.ran = make([][cells]bool, len(x.noons)-1)
	return x
}

// Hold says that it ran from a time to another.
func (x *Field) Hold(from, to time.Time) {
	from, to, some := x.frame.clip(from, to)
	if !some || len(x.ran) == 0 {
		return
	}
	for at := from; at.Before(to); at = at.Add(cell) {
		x.mark(at)
	}
	x.mark(to.Add(-time.Nanosecond))
}

func (x *Field) mark(at time.Time) {
	c := int(at.Sub(x.noons[0]) / (24 * time.Hour)) // within one, where clocks change
	for c > 0 && at.Before(x.noons[c]) {
		c--
	}
	for c < len(x.ran)-1 && !at.Before(x.noons[c+1]) {
		c++
	}
	c = min(c, len(x.ran)-1)
	row := int(at.Sub(x.noons[c]) / cell)
	x.ran[c][min(max(row, 0), cells-1)] = true
}
