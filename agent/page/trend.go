package page

import (
	"fmt"
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// A trend is over the last ten minutes, told once there are nearly as many. Below still it is
// steady: a probe's own noise (DS18B20: steps of 1/16 K by its datasheet, a few of them).
// Where a place swung by swings and more, and by more than twice what it came up or down,
// as the tunnel does with each run of the pump, its reach is told instead. Chosen.
const (
	trendOver  = 10 * time.Minute
	trendLeast = 9 * time.Minute
	still10    = 0.2 // K
	swings     = 1.0 // K
	trendKept  = time.Minute
)

// past is one place's last ten minutes: its minutes, each with what it began with and how
// far the place went in it, and the latest value.
type past struct {
	minutes []spot
	at      time.Time
	c       float64
}

type spot struct {
	at           time.Time
	c, low, high float64
}

// add takes a value in, and lets go what is older than a trend.
func (p past) add(at time.Time, c float64) past {
	n := len(p.minutes)
	if n > 0 && (at.Before(p.at) || at.Sub(p.at) > trendOver) {
		n = 0 // the clock was set, or it was long silent
	}
	first := 0
	for first < n && at.Sub(p.minutes[first].at) > trendOver {
		first++
	}
	kept := append([]spot(nil), p.minutes[first:max(n, first)]...) // readers keep the old one
	if k := len(kept); k > 0 && at.Sub(kept[k-1].at) < trendKept {
		x := &kept[k-1]
		x.low, x.high = min(x.low, c), max(x.high, c)
	} else {
		kept = append(kept, spot{at, c, c, c})
	}
	return past{kept, at, c}
}

// change is by how much it came up, K, and between what it went; not ok where it is too short.
func (p past) change() (by, low, high float64, ok bool) {
	if len(p.minutes) == 0 || p.at.Sub(p.minutes[0].at) < trendLeast {
		return 0, 0, 0, false
	}
	low, high = math.Inf(1), math.Inf(-1)
	for _, x := range p.minutes {
		low, high = min(low, x.low), max(high, x.high)
	}
	return p.c - p.minutes[0].c, low, high, true
}

// words say how a place is changing, in the browser's units.
func (p past) words(t taste) string {
	by, low, high, ok := p.change()
	switch {
	case !ok:
		return ""
	case high-low >= swings && high-low > 2*math.Abs(by):
		return "swings " + t.reach(low, high)
	case math.Abs(by) < still10:
		return "steady"
	case by < 0:
		return "down " + t.difference(-by) + " in " + ago(trendOver)
	}
	return "up " + t.difference(by) + " in " + ago(trendOver)
}

// reach is from one temperature to another.
func (t taste) reach(low, high float64) string {
	if t.units == quantity.US {
		return fmt.Sprintf("%.0f to %s", quantity.Celsius(low).Fahrenheit(), t.temp(quantity.Celsius(high)))
	}
	return fmt.Sprintf("%.1f to %s", low, t.temp(quantity.Celsius(high)))
}

// difference of two temperatures.
func (t taste) difference(k float64) string {
	if t.units == quantity.US {
		return fmt.Sprintf("%.1f\u00a0°F", 1.8*k)
	}
	return fmt.Sprintf("%.1f\u00a0K", k)
}
