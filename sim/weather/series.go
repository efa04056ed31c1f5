package weather

import (
	"fmt"
	"time"

	"duskloop/sensors/quantity"
)

// Series is a weather file as a Source. Within an interval the irradiance keeps the
// interval's mean and has the shape of a cloudless sky; air, dew point, wind and
// cloud go straight between the middles of the intervals.
//
// A typical year stands for any year: month, day and hour are those of the file's
// own clock, and 29 February is 28 February again where the file has none. Any
// other file knows only its own time; before and after it, its first and last
// interval hold, so ask Covers first.
//
// At takes its place from the time alone and makes ready once an interval, so a run
// through a season never searches. It remembers the interval it is in and so is not
// safe for concurrent use.
type Series struct {
	Notes []Note // how gaps were filled, by the line after the gap

	sky     Sky
	typical bool
	step    time.Duration
	origin  time.Time     // of slots[0]; for a typical year on 1 January 2000
	offset  time.Duration // of the file's clock from UTC
	slots   []slot

	today calendar
	in    moment
}

// slot is one interval of the even grid that a series lies on.
type slot struct {
	Sample
	given Given
	line  int
	state state
}

// state says where a slot's values come from.
type state uint8

const (
	missing state = iota
	measured
	filled
)

// NewSeries lays a file on an even grid and fills its gaps: up to six hours by the
// straight line between the neighbours (irradiance: of its share of a cloudless
// sky's), longer ones, up to a week, by the same hour of the day before. sky is that
// of the file's place. The error wraps ErrFile.
func NewSeries(f *File, sky Sky) (*Series, error) {
	if len(f.Intervals) == 0 || f.Step <= 0 {
		return nil, fmt.Errorf("%w: no intervals", ErrFile)
	}
	s := &Series{sky: sky, typical: f.Typical, step: f.Step, offset: f.Station.Offset}
	if err := s.grid(f.Intervals); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrFile, err)
	}
	for _, i := range f.Intervals {
		s.put(i)
	}
	s.leapDay()
	s.fillGaps()
	s.complete()
	s.in.index = -1
	return s, nil
}

const day24 = 24 * time.Hour

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

// perDay is the number of slots in a day.
func (s *Series) perDay() int { return int((day24 + s.step/2) / s.step) }

// put lays an interval into the slot that holds its middle.
func (s *Series) put(i Interval) {
	index, _ := s.place(i.Middle())
	at := &s.slots[index]
	if at.state == measured {
		s.note(i.Line, "left out: falls together with line %d", at.line)
		return
	}
	*at = slot{Sample: i.Sample, given: i.Given, line: i.Line, state: measured}
}

func (s *Series) note(line int, format string, args ...any) {
	s.Notes = append(s.Notes, Note{line, fmt.Sprintf(format, args...)})
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

// At is the weather at t.
func (s *Series) At(t time.Time) Sample {
	index, into := s.place(t)
	if index != s.in.index || !s.in.begin.Equal(t.Add(-into)) {
		s.enter(index, t.Add(-into))
	}
	return s.in.at(float64(into) / float64(s.step))
}

// straight are the values that go straight between the middles of intervals.
func straight(a, b *Sample, share float64) Sample {
	return Sample{
		Air:      a.Air + quantity.Celsius(share)*(b.Air-a.Air),
		DewPoint: a.DewPoint + quantity.Celsius(share)*(b.DewPoint-a.DewPoint),
		Wind:     a.Wind + MetrePerSecond(share)*(b.Wind-a.Wind),
		Cloud:    a.Cloud + quantity.Share(share)*(b.Cloud-a.Cloud),
	}
}
