package main

import (
	"fmt"
	"math"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/weather"
)

// cover is how many days of the months asked for a file has.
type cover struct{ has, asked float64 }

// short says that figures of these days do not stand for the months: our choice of a
// twentieth.
func (c cover) short() bool { return c.has < 0.95*c.asked }

// String says it in words.
func (c cover) String() string {
	return fmt.Sprintf("the file has %.0f of %.0f days asked: the figures are for those it has, not for whole months", c.has, c.asked)
}

// yearMonth is a month of a year in a file.
type yearMonth struct {
	year  int
	month time.Month
}

// coverage counts the days of the months asked for, or of all that the file has. It
// refuses a month asked for of which there is no row.
func coverage(f *weather.File, asked months) (cover, error) {
	days := make(map[yearMonth]float64)
	full := make(map[time.Month]float64) // of the year that has most of it
	for _, i := range f.Intervals {
		at := i.Middle()
		key := yearMonth{at.Year(), at.Month()}
		days[key] += i.End.Sub(i.Start).Hours() / 24
		full[key.month] = max(full[key.month], days[key])
	}
	for _, m := range asked {
		if full[m] == 0 {
			return cover{}, fmt.Errorf("it has no row of %v, which --months asks for", m)
		}
	}
	var c cover
	for key, n := range days {
		// Sun's time may put a row or two before the stamp's month: no month of its own.
		if asked.hold(key.month) && (n >= 1 || n == full[key.month]) {
			c.has += min(n, lengthOf(key.month))
			c.asked += lengthOf(key.month)
		}
	}
	return c, nil
}

// lengthOf a month in days; a leap day is not missed.
func lengthOf(m time.Month) float64 {
	return float64(time.Date(2023, m+1, 0, 0, 0, 0, 0, time.UTC).Day())
}

// coldestAir is the lowest of the whole file: the panels stay up the year round.
func coldestAir(f *weather.File) quantity.Celsius {
	low := quantity.Celsius(math.Inf(1))
	for _, i := range f.Intervals {
		low = min(low, i.Air)
	}
	return low
}
