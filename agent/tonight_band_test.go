package agent

import (
	"math"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control/night"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

// realOrInvented is the real winter named by DUSKLOOP_WEATHER, or five weeks of an invented
// one; noon is when a day of it has its noon, after midnight UTC.
func realOrInvented(t *testing.T) (sky func(weather.Sky) weather.Source, start time.Time, days int, noon time.Duration) {
	t.Helper()
	f := lumpedFile(t, "large")
	noon = 12*time.Hour - time.Duration(float64(f.Site.Longitude)/15*float64(time.Hour)).Round(time.Hour)
	name := os.Getenv("DUSKLOOP_WEATHER")
	if name == "" {
		t.Log("DUSKLOOP_WEATHER is not set: five invented weeks in place of a real winter")
		return func(weather.Sky) weather.Source { return InventedWeather(f, 5) }, time.Date(2025, 12, 6, 5, 0, 0, 0, time.UTC), 35, noon
	}
	in, err := os.Open(name)
	require.NoError(t, err)
	defer in.Close()
	w, err := weather.Read(in)
	require.NoError(t, err)
	return func(s weather.Sky) weather.Source {
		series, err := weather.NewSeries(w, s)
		require.NoError(t, err)
		return series
	}, time.Date(2025, 10, 1, 5, 0, 0, 0, time.UTC), 212, noon
}

// foretold is a night as it was told at some hour, and as it came.
type foretold struct {
	story        night.Story
	cold         bool
	truth        float64 // °C: the coldest from then until noon
	asked, ended time.Time
}

// nightsOf runs a winter of a plant and asks each day at an hour after noon what the night
// will bring.
func nightsOf(t *testing.T, name string, after time.Duration) (all []foretold) {
	t.Helper()
	sky, start, days, noon := realOrInvented(t)
	h, err := House(lumpedFile(t, name), 15, 1)
	require.NoError(t, err)
	if raced {
		days, h.Night.Scenarios = min(days, 40), 1
	}
	return nightsUnder(t, season.Bench{House: h, Sky: sky, Over: season.Span{Start: start, Days: days}}, noon, after)
}

// nightsUnder runs a bench's plan and asks each day at an hour after noon what the night
// will bring; noon is when a day has its noon, after midnight UTC.
func nightsUnder(t *testing.T, b season.Bench, noon, after time.Duration) (all []foretold) {
	t.Helper()
	s, err := season.New(b.House, b.Over.Start, b.Sky)
	require.NoError(t, err)
	var now *foretold
	for range b.Over.Days * 24 * 60 {
		s.Step(time.Minute)
		at := s.Plant().Clock()
		switch since := (at.Sub(at.Truncate(24*time.Hour)) - noon + 24*time.Hour) % (24 * time.Hour); {
		case since == after:
			a := s.Mind().Advice()
			if a.Way == night.Planned {
				now = &foretold{story: a.Story, cold: a.Cold, truth: 99, asked: at}
			}
		case since == 0 && now != nil:
			now.ended = at
			all = append(all, *now)
			now = nil
		}
		if now != nil {
			now.truth = min(now.truth, float64(s.Plant().Now().Tunnel))
		}
	}
	return all
}

// The band of the tunnel's coldest holds the truth on about four nights of five, asked at
// dusk, whether heat is spent or not.
func TestTunnelBandHoldsTheTruth(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"large", "box", "small"} {
		if raced && name != "box" {
			continue
		}
		inside, width, n := [2]int{}, [2]float64{}, [2]int{}
		for i, x := range nightsOf(t, name, 6*time.Hour) {
			if i < 10 || !x.story.ColdestAt.Before(x.ended) {
				continue // it has hardly learned, or the coldest is of another night
			}
			kind := 0
			if x.cold {
				kind = 1
			}
			n[kind]++
			width[kind] += x.story.High - x.story.Low
			if x.story.Low <= x.truth && x.truth <= x.story.High {
				inside[kind]++
			}
			require.LessOrEqual(t, x.story.Low, x.story.Coldest)
			require.GreaterOrEqual(t, x.story.High, x.story.Coldest)
		}
		t.Logf("%s: without heat %d of %d inside, mean width %.1f K; with heat %d of %d, %.1f K",
			name, inside[0], n[0], width[0]/float64(n[0]), inside[1], n[1], width[1]/float64(n[1]))
		nights := float64(n[0] + n[1])
		share := float64(inside[0]+inside[1]) / nights
		assert.Greater(t, share, 0.8-2.5*math.Sqrt(0.8*0.2/nights), "%s: fewer than chance has of 80 %%", name)
		if nights > 100 {
			assert.GreaterOrEqual(t, share, 0.7, name)
			assert.LessOrEqual(t, share, 0.9, name)
		}
	}
}
