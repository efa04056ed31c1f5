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
