package weather

import (
	"fmt"
	"time"
)

// mostHoles is how many times the intervals of a file its grid may be: beyond that it
// is more holes than weather.
const mostHoles = 10

// grid makes room: a leap year of slots, or all from the first to the last interval.
func (s *Series) grid(all []Interval) error {
	first, last := all[0], all[len(all)-1]
	if !s.typical {
		n := int64(last.End.Sub(first.Start) / s.step)
		if n < 1 || n > int64(mostHoles*(len(all)+100)) {
			return fmt.Errorf("from %s to %s is too long for %d steps of %v", first.Start.Format(time.DateOnly), last.End.Format(time.DateOnly), len(all), s.step)
		}
		s.origin, s.slots = first.Start, make([]slot, n)
		return nil
	}
	if day24%s.step != 0 {
		return fmt.Errorf("a typical year's steps must divide the day; %v does not", s.step)
	}
	zone := time.FixedZone("", int(s.offset/time.Second))
	y, m, d := first.Start.In(zone).Date()
	phase := first.Start.Sub(time.Date(y, m, d, 0, 0, 0, 0, zone)) % s.step
	if phase > s.step/2 {
		phase -= s.step
	}
	s.origin = time.Date(2000, 1, 1, 0, 0, 0, 0, zone).Add(phase)
	s.slots = make([]slot, 366*int(day24/s.step))
	return nil
}

// calendar is the day of a typical year on which the last question fell.
type calendar struct {
	from, to int64 // Unix seconds
	start    time.Duration
}

// place is the slot that holds t, and how far into it t lies.
func (s *Series) place(t time.Time) (index int, into time.Duration) {
	if !s.typical {
		passed := t.Sub(s.origin)
		index = int(passed / s.step)
		switch {
		case passed < 0:
			return 0, 0
		case index >= len(s.slots):
			return len(s.slots) - 1, s.step - 1
		}
		return index, passed % s.step
	}
	year := time.Duration(len(s.slots)) * s.step
	passed := (s.inYear(t) + year) % year
	return int(passed / s.step), passed % s.step
}

// inYear is how long after the first slot of the year 2000 the same month, day and
// hour comes.
func (s *Series) inYear(t time.Time) time.Duration {
	if now := t.Unix(); now < s.today.from || now >= s.today.to {
		local := t.In(s.origin.Location())
		y, m, d := local.Date()
		begin := time.Date(y, m, d, 0, 0, 0, 0, s.origin.Location())
		s.today = calendar{
			from: begin.Unix(), to: begin.Unix() + int64(day24/time.Second),
			start: time.Date(2000, m, d, 0, 0, 0, 0, s.origin.Location()).Sub(s.origin),
		}
	}
	return s.today.start + time.Duration(t.Unix()-s.today.from)*time.Second + time.Duration(t.Nanosecond())
}

// slotTime is the middle of a slot, in a typical year that of 2000.
func (s *Series) slotTime(index int) time.Time {
	return s.origin.Add(time.Duration(index)*s.step + s.step/2)
}

// beside is the index of a neighbour: around the turn of a typical year, no further
// than the ends of any other file.
func (s *Series) beside(index, by int) int {
	n := len(s.slots)
	if s.typical {
		return ((index+by)%n + n) % n
	}
	return min(max(index+by, 0), n-1)
}
