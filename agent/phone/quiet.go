package phone

import "time"

// Quiet are hours of the day in which what can wait waits, as times since midnight.
// From and To alike: none.
type Quiet struct{ From, To time.Duration }

// holds says whether t lies in the quiet hours by its own clock.
func (q Quiet) holds(t time.Time) bool {
	now := time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute
	if q.From <= q.To {
		return now >= q.From && now < q.To
	}
	return now >= q.From || now < q.To
}
