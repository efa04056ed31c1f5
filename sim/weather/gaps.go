package weather

import (
	"slices"
	"time"
)

// joined says that typical months were put together between a and b: b is of another
// year and a later month, and either lies before a, where no record goes, or both lie
// at the turn of a month. Any other jump is a gap. From December to January time just
// goes on. The sun's time may lie up to an hour before the stamp's, and so before its
// month.
func joined(a, b Interval) bool {
	x, y := a.Middle(), b.Middle().Add(time.Hour)
	if y.Year() == x.Year() || y.Month() <= x.Month() {
		return false
	}
	slack := time.Hour + a.End.Sub(a.Start)
	return b.Start.Before(a.Start) || turns(a.End, slack) && turns(b.Start, slack)
}

// turns says that a month turns within a time of t.
func turns(t time.Time, within time.Duration) bool {
	return t.Add(-within-time.Second).Month() != t.Add(within+time.Second).Month()
}

// gaps notes what is missing between rows that were not joined.
func (f *File) gaps() {
	for i := 1; i < len(f.Intervals); i++ {
		a, b := f.Intervals[i-1], f.Intervals[i]
		missing := b.Start.Sub(a.End)
		if missing == 0 || joined(a, b) {
			continue
		}
		switch {
		case leapDay(a, b):
			f.note(b.Line, "29 February is missing before this row")
		case missing > 0:
			f.note(b.Line, "%v missing before this row", missing)
		default:
			f.note(b.Line, "begins %v before the row above ends", -missing)
		}
	}
	slices.SortStableFunc(f.Notes, func(a, b Note) int { return a.Line - b.Line })
}

// leapDay says that nothing but 29 February lies between a and b.
func leapDay(a, b Interval) bool {
	y, m, d := a.End.Date()
	return m == time.February && d == 29 && a.End.Hour() == 0 && b.Start.Year() == y && b.Start.Sub(a.End) == 24*time.Hour
}
