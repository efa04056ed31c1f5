package weather

import (
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// Bounds of ours for what is filled in rather than refused: a straight line over a
// longer time would cut off a night or a noon, and the weather of more than a week
// ago says nothing.
const (
	longestLineGap = 6 * time.Hour
	longestCopy    = 7 * day24
)

// leapDay makes 29 February of a typical year 28 February again, where the file has
// none.
func (s *Series) leapDay() {
	if !s.typical {
		return
	}
	n := s.perDay()
	at := 59 * n // 31 and 28 days
	for _, x := range s.slots[at : at+n] {
		if x.state != missing {
			return
		}
	}
	copy(s.slots[at:at+n], s.slots[at-n:at])
}

// fillGaps goes through the runs of missing slots, beginning behind a slot that is
// there, so that a run over the turn of a typical year stays one.
func (s *Series) fillGaps() {
	n, first := len(s.slots), 0
	for first < n && s.slots[first].state == missing {
		first++
	}
	for k := 1; k < n; k++ {
		run := 0
		for k+run < n && s.slots[(first+k+run)%n].state == missing {
			run++
		}
		if run > 0 {
			s.fill((first+k)%n, run)
			k += run
		}
	}
}

// fill fills one run of missing slots and notes how.
func (s *Series) fill(from, run int) {
	line := s.slots[(from+run)%len(s.slots)].line
	length := time.Duration(run) * s.step
	if length <= longestLineGap && s.fillLine(from, run) {
		s.note(line, "%v before this row are the straight line between the neighbours", quantity.Span(length))
		return
	}
	copied := s.fillCopy(from, run)
	if copied > 0 {
		s.note(line, "%v before this row are the same hours of the day before", quantity.Span(copied)*quantity.Span(s.step))
	}
	if copied < run && !s.typical {
		s.note(line, "%v before this row stay unknown", quantity.Span(run-copied)*quantity.Span(s.step))
	}
}

// fillCopy takes the same hours of the day before and says how many slots it filled.
func (s *Series) fillCopy(from, run int) int {
	n, day := len(s.slots), s.perDay()
	for k := range run {
		source := from + k - day
		if s.typical {
			source = (source + n) % n
		}
		if source < 0 || time.Duration(k)*s.step >= longestCopy || s.slots[source].state == missing {
			return k
		}
		x := s.slots[source]
		x.state = filled
		s.slots[(from+k)%n] = x
	}
	return run
}

// fillLine draws the straight line between the neighbours of a run. It says no where
// the run is a day between two nights, of whose light they know nothing.
func (s *Series) fillLine(from, run int) bool {
	n := len(s.slots)
	before, after := (from+n-1)%n, (from+run)%n
	a, b := s.slots[before], s.slots[after]
	x, xKnown := s.clearShare(before)
	y, yKnown := s.clearShare(after)
	switch {
	case !xKnown && !yKnown:
		if s.daylight(from, run) {
			return false
		}
	case !xKnown:
		x = y
	case !yKnown:
		y = x
	}
	given := Given{DewPoint: a.given.DewPoint && b.given.DewPoint, Wind: a.given.Wind && b.given.Wind, Cloud: a.given.Cloud && b.given.Cloud}
	for k := range run {
		share := float64(k+1) / float64(run+1)
		i := (from + k) % n
		s.slots[i] = slot{Sample: straight(&a.Sample, &b.Sample, share), given: given, line: a.line, state: filled}
		_, clear := s.sky.ClearSky(s.slotTime(i))
		s.slots[i].GHI = clear * quantity.WattPerSquareMetre(blend(x, y, share))
	}
	return true
}

// dusk is the cloudless sky's irradiance in W/m² below which the share of it that
// came through says nothing. Our choice.
const dusk = 50

// clearShare is the share of a cloudless sky's light in a slot, at most 1.2 (edges of
// bright clouds); not known in the dark.
func (s *Series) clearShare(index int) (float64, bool) {
	_, clear := s.sky.ClearSky(s.slotTime(index))
	if clear < dusk {
		return 0, false
	}
	return math.Min(float64(s.slots[index].GHI/clear), 1.2), true
}

// daylight says whether the sun is up in a run.
func (s *Series) daylight(from, run int) bool {
	for k := range run {
		if _, clear := s.sky.ClearSky(s.slotTime((from + k) % len(s.slots))); clear >= dusk {
			return true
		}
	}
	return false
}
