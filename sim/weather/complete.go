package weather

import (
	"math"

	"duskloop/sensors/quantity"
)

// complete gives every slot what the file did not: a calm wind, a dew point near the
// day's lowest air, a cloud cover that lets through as much light as came.
func (s *Series) complete() {
	for i := range s.slots {
		if x := &s.slots[i]; x.state != missing && !x.given.Wind {
			x.Wind = calm
		}
	}
	s.dewPoints()
	s.clouds()
}

// dewPoints sets missing ones to 1.5 K below the day's lowest air, as the generator
// does: on most nights the air nearly reaches it.
func (s *Series) dewPoints() {
	offset := int64(s.offset.Seconds())
	dayOf := func(i int) int64 { return floorDiv(s.slotTime(i).Unix()+offset, 86400) }
	for from := 0; from < len(s.slots); {
		lowest, to, day := quantity.Celsius(math.Inf(1)), from, dayOf(from)
		for ; to < len(s.slots) && dayOf(to) == day; to++ {
			if s.slots[to].state != missing {
				lowest = min(lowest, s.slots[to].Air)
			}
		}
		for i := from; i < to; i++ {
			if x := &s.slots[i]; x.state != missing && !x.given.DewPoint {
				x.DewPoint = lowest - nearDew
			}
		}
		from = to
	}
}

// nearDew is by how many K the night's lowest air stays above the dew point.
const nearDew = 1.5

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// clouds sets missing covers from the light, and straight on through the night. A
// file that has none at any time of day gets a half-covered sky.
func (s *Series) clouds() {
	last, open := -1, 0.5
	for i := range s.slots {
		x := &s.slots[i]
		if x.state == missing {
			continue
		}
		if !x.given.Cloud {
			share, known := s.clearShare(i)
			if !known {
				continue
			}
			x.Cloud = quantity.Share(coverOf(share))
		}
		s.cloudsBetween(last, i, open)
		last, open = i, float64(x.Cloud)
	}
	s.cloudsBetween(last, len(s.slots), open)
}

// cloudsBetween draws the straight line between two covers that are known; before the
// first and behind the last it stays level.
func (s *Series) cloudsBetween(from, to int, open float64) {
	next := open
	if to < len(s.slots) {
		next = float64(s.slots[to].Cloud)
	}
	if from < 0 {
		open = next
	}
	for i := from + 1; i < to; i++ {
		if !s.slots[i].given.Cloud {
			s.slots[i].Cloud = quantity.Share(blend(open, next, float64(i-from)/float64(to-from)))
		}
	}
}

// coverOf turns Kasten & Czeplak's 1 - 0.75 N^3.4 (Generator.transmitted) round.
func coverOf(share float64) float64 {
	return math.Pow(math.Min(math.Max(1-share, 0)/0.75, 1), 1/3.4)
}
