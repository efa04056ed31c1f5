package weather

import (
	"fmt"
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// Series is a weather file as a Source. Within an interval the irradiance keeps the
// interval's mean and has the shape of a cloudless sky; near sunrise and sunset, where
// that shape says nothing or would be brighter than any sky, it is even. Air, dew point,
// wind and cloud go straight between the times for which the file gives them: the middles
// of the intervals, or File.AirAfter later. A cloud cover that is found from the light is
// played as late as a given one.
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
	lead    int     // the slot, counted from the one at hand, whose air is the first it needs
	phase   float64 // how far between that slot's air and the next an interval begins, 0 to 1

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
	if f.AirAfter.Abs() > day24 {
		return nil, fmt.Errorf("%w: its air is that of %v after its light", ErrFile, f.AirAfter)
	}
	s := &Series{sky: sky, typical: f.Typical, step: f.Step, offset: f.Station.Offset}
	s.airAfter(f.AirAfter)
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

// airAfter sets how long after the middle of its slot an air is true.
func (s *Series) airAfter(late time.Duration) {
	begin := -0.5 - float64(late)/float64(s.step) // of a slot, counted from its own air in steps
	lead := math.Floor(begin)
	s.lead, s.phase = int(lead), begin-lead
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
