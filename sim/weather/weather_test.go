package weather_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/sensors/quantity"
	"duskloop/sim/weather"
)

// bulb is a sun simple enough to reason about: up from 6 to 18 h UTC, a sine of
// 800 W/m², a third of it diffuse.
type bulb struct{}

func (bulb) ClearSky(t time.Time) (quantity.Angle, quantity.WattPerSquareMetre) {
	hour := float64(t.Unix()%86400) / 3600
	height := math.Max(0, math.Sin(math.Pi*(hour-6)/12))
	return quantity.Angle(90 - 50*height), quantity.WattPerSquareMetre(800 * height)
}

func (bulb) Split(_ time.Time, zenith quantity.Angle, ghi quantity.WattPerSquareMetre) (dni, dhi quantity.WattPerSquareMetre) {
	dhi = ghi / 3
	return (ghi - dhi) / quantity.WattPerSquareMetre(math.Cos(float64(zenith)*math.Pi/180)), dhi
}

// climate at Greenwich, so that solar time is UTC.
func climate() weather.Climate {
	c := weather.AlderHollow()
	c.Longitude = 0
	return c
}

var january = time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)

func TestSameSeedSameWeather(t *testing.T) {
	t.Parallel()
	a, b := weather.New(climate(), bulb{}, 3), weather.New(climate(), bulb{}, 3)
	other := weather.New(climate(), bulb{}, 4)
	differ := 0
	for i := range 500 {
		at := january.Add(time.Duration(i) * 3 * time.Hour)
		back := january.Add(time.Duration(499-i) * 3 * time.Hour)
		b.At(back) // the order of questions does not matter
		require.Equal(t, a.At(at), b.At(at))
		if a.At(at) != other.At(at) {
			differ++
		}
	}
	assert.Greater(t, differ, 490)
}

func TestMonthlyMeansComeBack(t *testing.T) {
	t.Parallel()
	c := climate()
	var low, high float64
	days := 0
	for seed := range uint64(12) {
		g := weather.New(c, bulb{}, seed)
		for day := range 31 {
			coldest, warmest := 99.0, -99.0
			for m := range 24 * 4 {
				air := float64(g.At(january.AddDate(0, 0, day).Add(time.Duration(m) * 15 * time.Minute)).Air)
				coldest, warmest = math.Min(coldest, air), math.Max(warmest, air)
			}
			low, high, days = low+coldest, high+warmest, days+1
		}
	}
	// The generator's own extremes are those of a day from midnight to midnight, which
	// are a little wider than minimum-at-sunrise and maximum-in-the-afternoon.
	assert.InDelta(t, float64(c.Low[0]), low/float64(days), 1.2)
	assert.InDelta(t, float64(c.High[0]), high/float64(days), 1.2)
}

func TestSkiesHaveTheirShares(t *testing.T) {
	t.Parallel()
	c := climate()
	bright, dull, n := 0, 0, 0
	for seed := range uint64(40) {
		g := weather.New(c, bulb{}, seed)
		for day := range 28 {
			var sum, open float64
			for h := range 24 {
				at := january.AddDate(0, 0, day).Add(time.Duration(h) * time.Hour)
				_, clear := bulb{}.ClearSky(at)
				sum, open = sum+float64(g.At(at).GHI), open+float64(clear)
			}
			n++
			if sum/open > 0.97 {
				bright++
			}
			if sum/open < 0.37 {
				dull++
			}
		}
	}
	assert.InDelta(t, float64(c.Clear[0]), float64(bright)/float64(n), 0.06)
	assert.InDelta(t, float64(c.Overcast[0]), float64(dull)/float64(n), 0.06)
}

func TestCloudWeek(t *testing.T) {
	t.Parallel()
	g := weather.New(climate(), bulb{}, 9)
	g.Overcast(january.AddDate(0, 0, 10), 7*24*time.Hour)
	for day := 10; day < 17; day++ {
		noon := g.At(january.AddDate(0, 0, day).Add(12 * time.Hour))
		assert.Less(t, float64(noon.GHI), 0.45*800, "day %d", day)
		assert.Greater(t, float64(noon.Cloud), 0.85)
	}
}

func TestDailyExtremesAreKept(t *testing.T) {
	t.Parallel()
	g := weather.New(climate(), bulb{}, 2)
	given := []weather.Extremes{{Low: -9, High: 1}, {Low: -12, High: -2}, {Low: -6, High: 2}}
	g.Daily(january, given)
	for day, want := range given {
		low, high := 99.0, -99.0
		for m := 7 * 60; m < 15*60; m++ { // from before sunrise to after the warmest hour
			air := float64(g.At(january.AddDate(0, 0, day).Add(time.Duration(m) * time.Minute)).Air)
			low, high = math.Min(low, air), math.Max(high, air)
		}
		assert.InDelta(t, float64(want.Low), low, 0.05, "day %d", day)
		assert.InDelta(t, float64(want.High), high, 0.05, "day %d", day)
	}
}

func TestClimateValidate(t *testing.T) {
	t.Parallel()
	require.NoError(t, weather.AlderHollow().Validate())
	c := weather.AlderHollow()
	c.Low[2], c.Clear[4], c.Swing = 50, 0.9, quantity.Kelvin(math.NaN())
	err := c.Validate()
	for _, what := range []string{"March", "May", "swing"} {
		assert.ErrorContains(t, err, what)
	}
}

func ExampleGenerator() {
	g := weather.New(weather.AlderHollow(), bulb{}, 1)
	s := g.At(time.Date(2026, 1, 20, 12, 0, 0, 0, time.UTC))
	fmt.Printf("%v, %v, %.0f %% cloud\n", s.Air, s.GHI, 100*float64(s.Cloud))
	// Output: -2.6 °C, 799.8 W/m2, 9 % cloud
}

func TestSamplesAreSound(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		g := weather.New(climate(), bulb{}, rapid.Uint64().Draw(rt, "seed"))
		at := january.Add(time.Duration(rapid.Int64Range(0, 3*365*86400).Draw(rt, "s")) * time.Second)
		s := g.At(at)
		require.LessOrEqual(t, s.DewPoint, s.Air)
		require.GreaterOrEqual(t, float64(s.Cloud), 0.0)
		require.LessOrEqual(t, float64(s.Cloud), 1.0)
		require.Greater(t, float64(s.Wind), 0.0)
		require.Less(t, float64(s.Wind), 15.0)
		require.Greater(t, float64(s.Air), -35.0)
		require.Less(t, float64(s.Air), 50.0)
		zenith, clear := bulb{}.ClearSky(at)
		require.LessOrEqual(t, s.GHI, clear)
		sum := float64(s.DHI) + float64(s.DNI)*math.Cos(float64(zenith)*math.Pi/180)
		require.InDelta(t, float64(s.GHI), sum, 1e-6)
		// Nothing jumps, midnight included.
		next := g.At(at.Add(time.Second))
		require.InDelta(t, float64(s.Air), float64(next.Air), 0.01)
		require.InDelta(t, float64(s.Cloud), float64(next.Cloud), 0.01)
	})
}

func TestSkyEmissivity(t *testing.T) {
	t.Parallel()
	// The EnergyPlus Engineering Reference's own example: air 293 K, dew point 283 K, no
	// cloud: emissivity 0.815, 340.6 W/m² from the sky.
	s := weather.Sample{Air: 293 - 273.15, DewPoint: 283 - 273.15}
	assert.InEpsilon(t, 0.815, s.SkyEmissivity(), 0.002)
	black := 5.670374419e-8 * math.Pow(293, 4)
	assert.InEpsilon(t, 340.6, black-float64(s.SkyDeficit()), 0.002)
	// Own arithmetic on the same formula: 5 °C, dew point 0 °C, clear: 72 W/m².
	clear := weather.Sample{Air: 5, DewPoint: 0}
	assert.InDelta(t, 72, float64(clear.SkyDeficit()), 0.5)
	// The same as a sky temperature: -11.1 °C, printed to 0.1 K, which is 0.15 % of the
	// radiation.
	assert.InDelta(t, -11.1, 278.15*math.Pow(clear.SkyEmissivity(), 0.25)-273.15, 0.05)
	overcast := clear
	overcast.Cloud = 1
	assert.Less(t, float64(overcast.SkyDeficit()), 0.5*float64(clear.SkyDeficit()), "1.154 times the emissivity under full cloud")
}

// Any implementation must satisfy the consumer's interface.
var _ weather.Source = (*weather.Generator)(nil)
