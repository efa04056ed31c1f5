package weather

import (
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// At is the weather at t.
func (g *Generator) At(t time.Time) Sample {
	c := g.clockAt(t)
	g.prepare(c.day)
	cloud := g.cloud(c)
	zenith, open := g.sky.ClearSky(t)
	s := Sample{
		Air:   quantity.Celsius(g.air(c)),
		Cloud: quantity.Share(cloud),
		Wind:  MetrePerSecond(g.wind(c, cloud)),
	}
	s.DewPoint = min(s.Air, quantity.Celsius(g.dewPoint(c)))
	if open > 0 {
		s.GHI = open * quantity.WattPerSquareMetre(g.transmitted(cloud))
		s.DNI, s.DHI = g.sky.Split(t, zenith, s.GHI)
	}
	return s
}

// clock is mean local solar time: the day's number since 1970 and the hour.
type clock struct {
	day  int64
	hour float64
}

func (g *Generator) clockAt(t time.Time) clock {
	local := t.Unix() + g.climate.solarOffset()
	day := local / 86400
	if local%86400 < 0 {
		day--
	}
	return clock{
		day:  day,
		hour: (float64(local-day*86400) + float64(t.Nanosecond())/1e9) / 3600,
	}
}

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
	low, high := month(&g.climate.Low, number), month(&g.climate.High, number)
	span, r := high-low, reach[k]
	anomaly := float64(g.climate.Swing) *
		(0.65*g.normal(number, 3) + 0.55*g.normal(number-1, 3) + 0.52*g.normal(number-2, 3))
	d := day{
		low: low + r.low*span + anomaly, high: high + r.high*span + anomaly,
		depth: 1, coldest: coldest(number),
	}
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

// air is the outdoor temperature in °C: a half cosine from the minimum to the
// maximum, then an exponential fall to the next minimum with b = 2.2 (the night
// form of Parton & Logan, Agric. Meteorol. 23, 1981, begun at the maximum instead
// of at sunset).
func (g *Generator) air(c clock) float64 {
	before, today, next := &g.days[0], &g.days[1], &g.days[2]
	switch {
	case c.hour < today.coldest:
		return fall(before.high, today.low, (c.hour+24-warmest)/(today.coldest+24-warmest))
	case c.hour < warmest:
		return today.low + (today.high-today.low)*(1-math.Cos(math.Pi*(c.hour-today.coldest)/(warmest-today.coldest)))/2
	}
	return fall(today.high, next.low, (c.hour-warmest)/(next.coldest+24-warmest))
}

func fall(from, to, share float64) float64 {
	const b = 2.2
	end := math.Exp(-b)
	return to + (from-to)*(math.Exp(-b*share)-end)/(1-end)
}

// dewPoint follows the nightly minima: on most nights the air nearly reaches it.
func (g *Generator) dewPoint(c clock) float64 {
	return blend(g.days[1].low, g.days[2].low, c.hour/24) - 1.5
}

// cloud is the covered share of the sky: the day's level, blended around midnight,
// with wandering on hazy days.
func (g *Generator) cloud(c clock) float64 {
	level := g.days[1].cloud
	switch {
	case c.hour < 3:
		level = blend(g.days[0].cloud, level, 0.5+c.hour/6)
	case c.hour > 21:
		level = blend(level, g.days[2].cloud, (c.hour-21)/6)
	}
	room := math.Min(level, 1-level)
	wander := g.smooth(float64(c.day)*24+c.hour, 4)*0.7 + g.smooth((float64(c.day)*24+c.hour)*6, 5)*0.3
	return level + room*0.9*(2*wander-1)
}

// transmitted is the share of the clear-sky light that comes through: 1 - 0.75
// N^3.4 (Kasten & Czeplak, Solar Energy 24, 1980; from memory, unverified), less
// on overcast days by the depth of the cloud (our choice, down to a third).
func (g *Generator) transmitted(cloud float64) float64 {
	return g.days[1].depth * (1 - 0.75*math.Pow(cloud, 3.4))
}

// wind is light on clear nights and freshens by day and under cloud. Invented.
func (g *Generator) wind(c clock, cloud float64) float64 {
	day := math.Max(0, math.Sin(math.Pi*(c.hour-7)/11))
	return 0.4 + (0.8+1.6*cloud+1.8*day)*(0.4+1.2*g.smooth(float64(c.day)*12+c.hour/2, 8))
}

func blend(a, b, share float64) float64 { return a + (b-a)*share }
