package nightly

import (
	"time"

	"duskloop/sensors/quantity"
)

// run is how pump and fans ran through a minute: shares of the duties the file sets, times
// the share of the minute.
type run struct{ pump, fans float32 }

// keep notes the speeds by minutes.
func (s *Sum) keep(from, until time.Time, pump, fans float64) {
	for pump+fans > 0 && from.Before(until) {
		i := int(from.Sub(s.rules.From) / time.Minute)
		end := s.rules.From.Add(time.Duration(i+1) * time.Minute)
		if end.After(until) {
			end = until
		}
		if i >= 0 && i < len(s.runs) {
			share := float32(end.Sub(from).Minutes())
			s.runs[i].pump += float32(pump) * share
			s.runs[i].fans += float32(fans) * share
		}
		from = end
	}
}

// Runs are the speeds of pump and fans at a time, as shares of those that the file sets.
func (s *Sum) Runs(at time.Time) (pump, fans quantity.Share) {
	i := int(at.Sub(s.rules.From) / time.Minute)
	if i < 0 || i >= len(s.runs) {
		return 0, 0
	}
	return quantity.Share(min(1, s.runs[i].pump)), quantity.Share(min(1, s.runs[i].fans))
}
