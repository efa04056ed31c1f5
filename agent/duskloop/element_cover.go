package main

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/weather"
)

// cover is how many days of the months asked for a file has.
type cover struct {
	has, asked float64
	without    []string // months asked for of which it has nothing
}

// short says that figures of these days do not stand for the months: our choice of a
// twentieth.
func (c cover) short() bool { return c.has < 0.95*c.asked }

// String says it in words.
func (c cover) String() string {
	text := fmt.Sprintf("the file has %.0f of %.0f days asked: the figures are for those it has, not for whole months", c.has, c.asked)
	if len(c.without) > 0 {
		text += "; it has nothing of " + strings.Join(c.without, ", ")
	}
	return text
}

// yearMonth is a month of a year in a file.
type yearMonth struct {
	year  int
	month time.Month
}

// coverage counts the days of the months asked for, or of all that the file has. It
// refuses months of which there is no row at all.
func coverage(f *weather.File, asked months) (cover, error) {
	days := make(map[yearMonth]float64)
	full := make(map[time.Month]float64) // of the year that has most of it
	for _, i := range f.Intervals {
		at := i.Middle()
		key := yearMonth{at.Year(), at.Month()}
		days[key] += i.End.Sub(i.Start).Hours() / 24
		full[key.month] = max(full[key.month], days[key])
	}
	var c cover
	for _, m := range asked {
		if full[m] == 0 {
			c.asked += lengthOf(m)
			c.without = append(c.without, m.String())
		}
	}
	if len(asked) > 0 && len(c.without) == len(asked) {
		return c, errors.New("it has no row of the months that --months asks for")
	}
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
