package weather

import (
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// month blends the monthly figures, each taken as true at mid-month (30.44 days).
func month(values *[12]quantity.Celsius, day int64) float64 {
	m := math.Mod(float64(day)-15, 365.25)/30.4375 + 12
	i, share := math.Floor(m), m-math.Floor(m)
	a, b := values[int(i)%12], values[(int(i)+1)%12]
	return float64(a) + share*float64(b-a)
}

// monthShare is the figure of the calendar month, without blending.
func monthShare(values *[12]quantity.Share, day int64) float64 {
	return float64(values[time.Unix(day*86400, 0).UTC().Month()-1])
}

// kind is a sort of day.
type kind int

const (
	fair kind = iota
	hazy
	overcast
)

// persistence is the chance that a day repeats the sky of the day before: spells
// of two days in the mean. Our choice.
const persistence = 0.5

// kind of a day. A day either draws afresh or repeats the day before; looking back
// for the last fresh draw keeps the generator free of state.
func (g *Generator) kind(day int64) kind {
	noon := time.Unix(day*86400+43200-g.climate.solarOffset(), 0)
	for _, s := range g.dark {
		if !noon.Before(s.from) && noon.Before(s.to) {
			return overcast
		}
	}
	fresh := day
	for range 12 {
		if g.uniform(fresh, 1) >= persistence {
			break
		}
		fresh--
	}
	switch draw := g.uniform(fresh, 2); {
	case draw < monthShare(&g.climate.Clear, day):
		return fair
	case draw > 1-monthShare(&g.climate.Overcast, day):
		return overcast
	}
	return hazy
}

// Swings of a day's extremes with its sky, as shares of the month's mean range.
// Our choice: clear days reach further both ways, overcast ones are level.
var reach = [...]struct{ low, high float64 }{
	fair:     {-0.12, +0.08},
	hazy:     {+0.02, +0.00},
	overcast: {+0.16, -0.15},
}

// extremes of a day: the measured ones where given, else the month's, moved by the
// sky and by an anomaly that lasts some days.
func (g *Generator) extremes(number int64, k kind) (low, high float64) {
	if i := number - g.first; i >= 0 && i < int64(len(g.given)) {
		return float64(g.given[i].Low), float64(g.given[i].High)
	}
	low, high = month(&g.climate.Low, number), month(&g.climate.High, number)
	span, r := high-low, reach[k]
	anomaly := float64(g.climate.Swing) *
		(0.65*g.normal(number, 3) + 0.55*g.normal(number-1, 3) + 0.52*g.normal(number-2, 3))
	return low + r.low*span + anomaly, high + r.high*span + anomaly
}

// day is what the generator decides once a day.
type day struct {
	low, high float64 // °C, near sunrise and in the afternoon
	cloud     float64 // level of the covered share
	depth     float64 // share of the light that an overcast lets through besides
	coldest   float64 // hour of the minimum
}

// prepare fills the three days around a day: yesterday, today, tomorrow. Asked
// again for the same day it does nothing.
func (g *Generator) prepare(number int64) {
	if g.ready && g.number == number {
		return
	}
	for i := range g.days {
		g.days[i] = g.draw(number - 1 + int64(i))
	}
	g.ready, g.number = true, number
}

// draw decides a day.
func (g *Generator) draw(number int64) day {
	k := g.kind(number)
	d := day{depth: 1, coldest: coldest(number)}
	d.low, d.high = g.extremes(number, k)
	switch u := g.uniform(number, 6); k {
	case fair:
		d.cloud = 0.02 + 0.08*u
	case hazy:
		d.cloud = 0.35 + 0.35*u
	default:
		d.cloud = 0.93 + 0.06*u
		d.depth = 0.35 + 0.55*g.uniform(number, 7)
	}
	return d
}

// warmest is the hour of the day's maximum; coldest that of its minimum, which
// follows the season. Common practice for mid latitudes, no source.
const warmest = 14.5

func coldest(day int64) float64 {
	return 6 + 1.6*math.Cos(2*math.Pi*float64(day+10)/365.25)
}
