package picture

import "time"

// pace is a distance between marks of the time axis: minutes, days or months.
type pace struct{ minutes, days, months int }

var paces = []pace{
	{minutes: 1}, {minutes: 2}, {minutes: 5}, {minutes: 10}, {minutes: 15}, {minutes: 30},
	{minutes: 60}, {minutes: 120}, {minutes: 180}, {minutes: 240}, {minutes: 360}, {minutes: 720},
	{days: 1}, {days: 2}, {days: 7}, {days: 14}, {months: 1}, {months: 2}, {months: 3}, {months: 6},
	{months: 12}, {months: 24}, {months: 60}, {months: 120}, {months: 600},
}

// about is the pace's usual length.
func (p pace) about() time.Duration {
	const day = 24 * time.Hour
	return time.Duration(p.minutes)*time.Minute + time.Duration(p.days)*day + time.Duration(p.months)*30*day
}

// at is the mark number i, counted from the beginning of from's day, month or year.
func (p pace) at(from time.Time, i int) time.Time {
	y, m, d := from.Date()
	switch {
	case p.minutes > 0:
		return time.Date(y, m, d, 0, i*p.minutes, 0, 0, from.Location())
	case p.days > 0:
		return time.Date(y, m, d+i*p.days, 0, 0, 0, 0, from.Location())
	}
	m -= (m - 1) % time.Month(min(p.months, 12))
	y -= y % max(p.months/12, 1)
	return time.Date(y, m+time.Month(i*p.months), 1, 0, 0, 0, 0, from.Location())
}

// label is what stands at a mark.
func (p pace) label(t time.Time, clock string) string {
	switch {
	case p.minutes > 0:
		if clock == halfClock && t.Minute() == 0 {
			return t.Format("3pm") // so that it is no wider than 20:00
		}
		if clock == halfClock {
			return t.Format("3:04pm")
		}
		return t.Format(clock)
	case p.days > 0:
		return t.Format("Jan 2")
	case p.months < 12:
		return t.Format("Jan")
	}
	return t.Format("2006")
}

// below is what stands under the first mark and wherever it changes.
func (p pace) below(t time.Time) string {
	switch {
	case p.minutes > 0:
		return t.Format("Jan 2")
	case p.months > 0 && p.months < 12:
		return t.Format("2006")
	}
	return ""
}

// timeMark is a mark of the time axis.
type timeMark struct {
	at    time.Time
	label string
	below string
}

// room is how far apart two labels must stand, in units.
func (p pace) room() float64 {
	switch {
	case p.days > 0:
		return 46 // "Nov 30"
	case p.months > 0 && p.months < 12:
		return 30
	}
	return 36 // "20:00", "2026"
}

// paceFor is the shortest pace whose labels fit a frame drawn that wide.
func paceFor(f Frame, wide float64) pace {
	for _, p := range paces {
		if wide*float64(p.about())/float64(f.length()) >= p.room() {
			return p
		}
	}
	return paces[len(paces)-1]
}

// timeMarks are the marks of a frame drawn so wide.
func timeMarks(f Frame, wide float64, clock string) []timeMark {
	p := paceFor(f, wide)
	var all []timeMark
	for i := 0; ; i++ {
		at := p.at(f.From, i)
		if at.After(f.To) {
			return all
		}
		if n := len(all); !at.Before(f.From) && (n == 0 || at.After(all[n-1].at)) {
			all = append(all, timeMark{at, p.label(at, clock), p.below(at)})
		}
	}
}
