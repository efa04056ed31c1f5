package picture

import "time"

// columns is how many stretches of a line keep their own least and greatest.
const columns = 300

// Point is one believed value. Band is how far the truth may lie to either side.
type Point struct {
	At      time.Time
	V, Band float64
	Gap     bool // nothing is drawn from the point before to this one
}

// Trace is one quantity over a frame, thinned as it comes: of many values in a
// stretch too narrow to see, the least and the greatest stay, at their own times.
// Every value that is drawn is one that was given.
type Trace struct {
	Name    string
	frame   Frame
	n       int
	least   Point
	most    Point
	last    Point
	gap     bool
	column  int
	pieces  []piece
	points  []Point
	extents []extent
}

// piece is a stretch without a gap within one column, by its extremes in order.
type piece struct{ first, second Point }

// extent is what a bucket of days came to.
type extent struct {
	low, high         float64
	bandLow, bandHigh float64
	known             bool
}

// NewTrace is an empty trace.
func NewTrace(f Frame, name string) *Trace {
	t := &Trace{Name: name, frame: f, gap: true}
	if f.Daily() {
		t.extents = make([]extent, len(f.edges)-1)
	}
	return t
}

// Add takes a value; times are to grow, and one that does not begins anew. A value
// outside the frame is left out.
func (t *Trace) Add(at time.Time, v, band float64) {
	if at.Before(t.frame.From) || at.After(t.frame.To) {
		return
	}
	p := Point{At: at, V: v, Band: band}
	if t.n == 0 || v < t.least.V {
		t.least = p
	}
	if t.n == 0 || v > t.most.V {
		t.most = p
	}
	t.n++
	t.last = p
	if t.extents != nil {
		i, _ := t.frame.bucket(at)
		t.extents[i].take(p)
		return
	}
	t.place(p)
}

// Break says that nothing is known between the last value and the next.
func (t *Trace) Break() { t.gap = true }

// Known says that any value was given.
func (t *Trace) Known() bool { return t != nil && t.n > 0 }

// place puts a point into its column.
func (t *Trace) place(p Point) {
	c := min(int(t.frame.share(p.At)*columns), columns-1)
	if c != t.column {
		t.flush()
	}
	if c < t.column {
		t.gap = true
	}
	t.column = c
	p.Gap, t.gap = t.gap, false
	if p.Gap || len(t.pieces) == 0 {
		t.pieces = append(t.pieces, piece{p, p})
		return
	}
	t.pieces[len(t.pieces)-1].take(p)
}

// take keeps the two extremes in the order in which they came.
func (s *piece) take(p Point) {
	low, high := s.first, s.second
	if low.V > high.V {
		low, high = high, low
	}
	gap := s.first.Gap
	switch {
	case p.V < low.V:
		s.first, s.second = high, p
	case p.V > high.V:
		s.first, s.second = low, p
	}
	s.first.Gap, s.second.Gap = gap, false
}

// flush ends a column. Of a probe that comes and goes many times within one, the
// first and last piece stay and between them the extremes, each by itself.
func (t *Trace) flush() {
	n := len(t.pieces)
	if n > 4 {
		t.points = append(t.points, t.pieces[0].drawn()...)
		t.points = append(t.points, alone(t.pieces[1:n-1])...)
		t.points = append(t.points, t.pieces[n-1].drawn()...)
	} else {
		for _, s := range t.pieces {
			t.points = append(t.points, s.drawn()...)
		}
	}
	t.pieces = t.pieces[:0]
}

func (s piece) drawn() []Point {
	if s.first.At.Equal(s.second.At) {
		return []Point{s.first}
	}
	return []Point{s.first, s.second}
}

// alone is the least and the greatest of many pieces, each without neighbours.
func alone(pieces []piece) []Point {
	low, high := pieces[0].first, pieces[0].first
	for _, s := range pieces {
		for _, p := range s.drawn() {
			if p.V < low.V {
				low = p
			}
			if p.V > high.V {
				high = p
			}
		}
	}
	low.Gap, high.Gap = true, true
	if high.At.Before(low.At) {
		low, high = high, low
	}
	return []Point{low, high}
}

func (e *extent) take(p Point) {
	if !e.known {
		*e = extent{p.V, p.V, p.V - p.Band, p.V + p.Band, true}
		return
	}
	e.low, e.high = min(e.low, p.V), max(e.high, p.V)
	e.bandLow, e.bandHigh = min(e.bandLow, p.V-p.Band), max(e.bandHigh, p.V+p.Band)
}

// runs are the points between gaps.
func (t *Trace) runs() [][]Point {
	t.flush()
	var all [][]Point
	for _, p := range t.points {
		if p.Gap || len(all) == 0 {
			all = append(all, nil)
		}
		all[len(all)-1] = append(all[len(all)-1], p)
	}
	return all
}
