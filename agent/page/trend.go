package page

import (
	"fmt"
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// A trend is over the last half hour; it is told from ten minutes on, and by less than
// half a kelvin an hour it is steady: a probe tells no finer. Chosen.
const (
	trendOver  = 30 * time.Minute
	trendLeast = 10 * time.Minute
	steady     = 0.5 // K an hour
	trendKept  = time.Minute
)

// past is one place's last half hour, a value a minute.
type past []spot

type spot struct {
	at time.Time
	c  float64
}

// add takes a value in, and lets go what is older than a trend.
func (p past) add(at time.Time, c float64) past {
	if n := len(p); n > 0 && (at.Before(p[n-1].at) || at.Sub(p[n-1].at) > trendOver) {
		p = p[:0] // the clock was set, or it was long silent
	} else if n > 0 && at.Sub(p[n-1].at) < trendKept {
		return p
	}
	first := 0
	for first < len(p) && at.Sub(p[first].at) > trendOver {
		first++
	}
	return append(append(past(nil), p[first:]...), spot{at, c}) // readers keep the old one
}

// slope by least squares, K an hour; not ok where it is too short.
func (p past) slope() (perHour float64, ok bool) {
	n := len(p)
	if n < 3 || p[n-1].at.Sub(p[0].at) < trendLeast {
		return 0, false
	}
	var st, sc, stt, stc float64
	for _, x := range p {
		t := x.at.Sub(p[0].at).Hours()
		st, sc, stt, stc = st+t, sc+x.c, stt+t*t, stc+t*x.c
	}
	f := float64(n)
	return (f*stc - st*sc) / (f*stt - st*st), true
}

// words say how a place is changing, in the browser's units.
func (p past) words(t taste) string {
	slope, ok := p.slope()
	if !ok {
		return ""
	}
	if math.Abs(slope) < steady {
		return "steady"
	}
	way := "rising"
	if slope < 0 {
		way = "falling"
	}
	unit, by := "K", math.Abs(slope)
	if t.units == quantity.US {
		unit, by = "°F", 1.8*by
	}
	return fmt.Sprintf("%s %.1f\u00a0%s an hour", way, by, unit)
}
