package phone

import (
	"fmt"
	"time"
)

// Quiet are hours of the day in which what can wait waits. From and To alike: none.
type Quiet struct{ From, To Clock }

// Clock is a time of day, since midnight.
type Clock time.Duration

// Set reads HH:MM.
func (c *Clock) Set(text string) error {
	t, err := time.Parse("15:04", text)
	if err != nil {
		return fmt.Errorf("write a time of day as 22:30, not %q", text)
	}
	*c = Clock(time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute)
	return nil
}

// String is HH:MM.
func (c Clock) String() string {
	d := time.Duration(c)
	return fmt.Sprintf("%02d:%02d", int(d.Hours()), int(d.Minutes())%60)
}

// holds says whether t lies in the quiet hours by its own clock.
func (q Quiet) holds(t time.Time) bool {
	now := Clock(time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute)
	if q.From <= q.To {
		return now >= q.From && now < q.To
	}
	return now >= q.From || now < q.To
}
