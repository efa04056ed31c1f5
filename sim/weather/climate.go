package weather

import (
	"errors"
	"fmt"
	"time"

	"duskloop/sensors/quantity"
)

// Sky is what the generator must know about the sun. sun.Site satisfies it.
type Sky interface {
	// ClearSky is the sun's zenith angle and the global irradiance of a cloudless
	// sky at t.
	ClearSky(t time.Time) (zenith quantity.Angle, ghi quantity.WattPerSquareMetre)
	// Split divides a global irradiance into direct normal and diffuse.
	Split(t time.Time, zenith quantity.Angle, ghi quantity.WattPerSquareMetre) (dni, dhi quantity.WattPerSquareMetre)
}

// Climate is a year in twelve months.
type Climate struct {
	Low, High [12]quantity.Celsius // mean daily minimum and maximum, January first
	Swing     quantity.Kelvin      // standard deviation of a day's mean about the month's
	Clear     [12]quantity.Share   // share of days that are clear
	Overcast  [12]quantity.Share   // share of days that are overcast; the rest are hazy
	Longitude quantity.Angle       // for local solar time
}

// AlderHollow is an invented climate of cold clear winter nights, made up for the
// demonstration. No station measured it.
func AlderHollow() Climate {
	return Climate{
		Low:       [12]quantity.Celsius{-3, -2.5, 0.5, 4, 8, 12, 14.5, 14, 10, 5.5, 2, -1.5},
		High:      [12]quantity.Celsius{6.5, 8, 12, 16.5, 21, 25, 27.5, 27, 22.5, 16.5, 11, 7},
		Swing:     2.2,
		Clear:     [12]quantity.Share{0.36, 0.38, 0.38, 0.36, 0.38, 0.40, 0.42, 0.42, 0.40, 0.38, 0.34, 0.34},
		Overcast:  [12]quantity.Share{0.30, 0.28, 0.28, 0.28, 0.24, 0.20, 0.18, 0.18, 0.22, 0.26, 0.32, 0.34},
		Longitude: -78.6,
	}
}

// solarOffset is local mean solar time less UTC in seconds.
func (c Climate) solarOffset() int64 { return int64(float64(c.Longitude) * 240) }

// Generator makes weather out of a climate and a seed. It remembers the days around
// the last question and so is not safe for concurrent use.
type Generator struct {
	climate Climate
	sky     Sky
	seed    uint64
	dark    []spell

	first int64 // day number of given[0]
	given []Extremes

	ready  bool
	number int64  // of days[1]
	days   [3]day // yesterday, today, tomorrow
}

// spell is a stretch of forced overcast.
type spell struct{ from, to time.Time }

// New is a generator. The same climate, sky and seed give the same weather.
func New(c Climate, sky Sky, seed uint64) *Generator {
	return &Generator{climate: c, sky: sky, seed: seed}
}

// Overcast forces an overcast sky over a stretch of time: a cloud week on demand.
func (g *Generator) Overcast(from time.Time, length time.Duration) {
	g.dark = append(g.dark, spell{from, from.Add(length)})
	g.ready = false
}

// Extremes are a day's minimum and maximum.
type Extremes struct{ Low, High quantity.Celsius }

// Daily replaces the invented extremes by given ones, one pair a day from the
// local solar day of first on. The sky is still drawn from the seed.
func (g *Generator) Daily(first time.Time, days []Extremes) {
	g.first = g.clockAt(first).day
	g.given = days
	g.ready = false
}

// Validate reports every month that cannot be.
func (c Climate) Validate() error {
	var faults []error
	for i := range c.Low {
		m := time.Month(i + 1)
		if !(c.Low[i] >= -60 && c.Low[i] < c.High[i] && c.High[i] <= 60) {
			faults = append(faults, fmt.Errorf("%v: minimum %v, maximum %v: must be -60 °C <= minimum < maximum <= 60 °C",
				m, c.Low[i], c.High[i]))
		}
		if !(c.Clear[i] >= 0 && c.Overcast[i] >= 0 && c.Clear[i]+c.Overcast[i] <= 1) {
			faults = append(faults, fmt.Errorf("%v: clear %v and overcast %v days: must be shares of at most 100 %% together",
				m, c.Clear[i], c.Overcast[i]))
		}
	}
	if !(c.Swing >= 0 && c.Swing <= 15) {
		faults = append(faults, fmt.Errorf("swing %v: must be 0 to 15 K", c.Swing))
	}
	return errors.Join(faults...)
}
