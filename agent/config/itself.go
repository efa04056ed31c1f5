package config

import (
	"fmt"
	"time"

	"duskloop/sensors/quantity"
)

// byItself is how a figure of the plan is written that is left to what suits the plant.
const byItself = "by itself"

// Thrift is how dear the plan holds a run; zero: by itself.
type Thrift float64

// The range of a thrift that is given. Our choice.
const leastThrift, mostThrift = 0.001, 1.0

const thriftSays = "by itself, or 0.001 to 1"

// Set reads a number, or "by itself".
func (t *Thrift) Set(text string) error {
	if text == byItself {
		*t = 0
		return nil
	}
	var r Ratio
	if err := r.Set(text); err != nil {
		return err
	}
	if r < leastThrift || r > mostThrift {
		return fmt.Errorf("out of range")
	}
	*t = Thrift(r)
	return nil
}

// String is the number, or "by itself".
func (t Thrift) String() string {
	if t == 0 {
		return byItself
	}
	return Ratio(t).String()
}

// Reach is how far the plan looks ahead; zero: by itself.
type Reach quantity.Span

// The range of a reach that is given: from dusk to the cold of dawn at least. Our choice.
const leastReach, mostReach = 12 * time.Hour, 48 * time.Hour

const reachSays = "by itself, or 12 h to 2 d"

// Set reads a length of time, or "by itself".
func (r *Reach) Set(text string) error {
	if text == byItself {
		*r = 0
		return nil
	}
	var s quantity.Span
	if err := s.Set(text); err != nil {
		return err
	}
	if d := s.Duration(); d < leastReach || d > mostReach {
		return fmt.Errorf("out of range")
	}
	*r = Reach(s)
	return nil
}

// String is the length, or "by itself".
func (r Reach) String() string {
	if r == 0 {
		return byItself
	}
	return quantity.Span(r).String()
}

// Duration is the length; zero by itself.
func (r Reach) Duration() time.Duration { return quantity.Span(r).Duration() }

// Assigned is a line of a loop's table for a key as carry.stop_difference: name = value.
func Assigned(key, value string) string {
	f, ok := find(perLoop(), key)
	if ok && f.at(&File{}, &Loop{}).bare() {
		return f.name() + " = " + value
	}
	return fmt.Sprintf("%s = %q", f.name(), value)
}
