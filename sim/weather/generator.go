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
