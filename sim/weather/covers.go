package weather

import (
	"fmt"
	"time"
)

// Covers says whether the series knows the weather from one time to another. The
// error wraps ErrFile and says what is missing.
func (s *Series) Covers(from, to time.Time) error {
	end := s.origin.Add(time.Duration(len(s.slots)) * s.step)
	if !s.typical && (from.Before(s.origin) || to.After(end)) {
		return fmt.Errorf("%w: it tells of %s to %s, not of all from %s to %s", ErrFile,
			s.origin.Format(time.DateOnly), end.Format(time.DateOnly), from.Format(time.DateOnly), to.Format(time.DateOnly))
	}
	if s.typical && to.Sub(from) > 366*day24 {
		to = from.Add(366 * day24)
	}
	for t := from; t.Before(to); t = t.Add(s.step) {
		if err := s.knows(t); err != nil {
			return err
		}
	}
	return s.knows(to.Add(-1))
}

// knows says whether there is weather at t.
func (s *Series) knows(t time.Time) error {
	index, _ := s.place(t)
	if s.slots[index].state == missing {
		layout := "2 January 2006 15:04"
		if s.typical {
			layout = "2 January 15:04"
		}
		return fmt.Errorf("%w: it has nothing near %s", ErrFile, s.slotTime(index).Format(layout))
	}
	return nil
}
