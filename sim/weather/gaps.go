package weather

import (
	"slices"
	"time"

	"duskloop/sensors/quantity"
)

// joined says that typical months were put together between a and b, in a file that is a
// typical year: b is of another year, and of a later month or where a month turns. Any
// other jump is a gap. The sun's time may lie up to an hour before the stamp's, and so
// before its month.
func joined(a, b Interval) bool {
	x, y := a.Middle(), b.Middle().Add(time.Hour)
	return y.Year() != x.Year() && (y.Month() > x.Month() || follows(a, b))
}

// follows says that a ends a month and b begins the one after, of whatever year: to
// within an interval and the hour of the sun's time. February may end with the 28th,
// since typical years leave out the 29th.
func follows(a, b Interval) bool {
	slack := time.Hour + a.End.Sub(a.Start)
	ends := turn(a.End, slack)
	if ends == 0 && a.End.Month() == time.February {
		ends = turn(a.End.Add(day24), slack)
	}
	return ends != 0 && ends == turn(b.Start, slack)
}

// turn is the month that begins within a time of t, 0 where none does.
func turn(t time.Time, within time.Duration) time.Month {
	if next := t.Add(within).Month(); next != t.Add(-within-1).Month() {
		return next
	}
	return 0
}

// putTogether says of rows whose layout does not tell that they are a typical year: they
// go back in time, as no record does, and each time that the year changes one month has
// ended and the next begins. There are no more than twelve turns of the month.
func putTogether(all []Interval) bool {
	back, turns := false, 0
	for k, b := range all {
		if k == 0 {
			continue
		}
		a := all[k-1]
		x, y := a.Middle(), b.Middle()
		if turns += int(y.Month()-x.Month()+12) % 12; turns > 12 {
			return false
		}
		switch {
		case follows(a, b):
			back = back || b.Start.Before(a.Start)
		case x.Year() != y.Year():
			return false
		}
	}
	return back
}

// gaps notes what is missing between rows, but for the joints of a typical year.
func (f *File) gaps() {
	for i := 1; i < len(f.Intervals); i++ {
		a, b := f.Intervals[i-1], f.Intervals[i]
		missing := b.Start.Sub(a.End)
		if missing == 0 || f.Typical && joined(a, b) {
			continue
		}
		switch {
		case leapDay(a, b):
			f.note(b.Line, "29 February is missing before this row")
		case missing > 0:
			f.note(b.Line, "%v missing before this row", quantity.Span(missing))
		default:
			f.note(b.Line, "begins %v before the row above ends", quantity.Span(-missing))
		}
	}
	slices.SortStableFunc(f.Notes, func(a, b Note) int { return a.Line - b.Line })
}

// leapDay says that nothing but 29 February lies between a and b.
func leapDay(a, b Interval) bool {
	y, m, d := a.End.Date()
	return m == time.February && d == 29 && a.End.Hour() == 0 && b.Start.Year() == y && b.Start.Sub(a.End) == 24*time.Hour
}
