package season_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control/night"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

// made is a flight of so many days from midnight, its greenhouse and its tunnel at one
// temperature each night, noon to noon.
func made(days int, house, tunnel func(night int) float32) season.Flight {
	var f season.Flight
	for m := range days * 24 * 60 {
		n := (m - 12*60 + 24*60) / (24 * 60) // 0 before the first noon
		f.Seen = append(f.Seen, season.Glance{House: house(n), Tunnel: tunnel(n)})
	}
	return f
}

// Of the ten coldest nights it is the one on which the flights differ most, or, where both
// were flown, foresight is warmest over the thermostat; a milder one
// does not count however much they differ, nor does what is left of a first or last night.
func TestHardNightShowsMost(t *testing.T) {
	t.Parallel()
	over := season.Span{Start: time.Date(2026, 1, 1, 5, 0, 0, 0, time.UTC), Days: 20, Offset: -5 * time.Hour}
	house := func(n int) float32 { return float32(n) - 20 } // night 1 is the coldest of the whole ones
	off := made(20, house, func(int) float32 { return 0 })
	warm := made(20, house, func(n int) float32 { return map[int]float32{0: 5, 3: 2, 7: 4, 15: 5}[n] })
	got, ok := season.HardNight(over, []season.Flight{off, warm})
	require.True(t, ok)
	assert.Equal(t, season.Night{Start: time.Date(2026, 1, 7, 17, 0, 0, 0, time.UTC), First: 6*1440 + 720, Last: 7*1440 + 720}, got)
	off.Score.Policy = season.PolicyOff
	warm.Score.Policy = season.PolicyThermostat
	best := made(20, house, func(n int) float32 { return map[int]float32{3: 5, 7: 5}[n] })
	best.Score.Policy = season.PolicyForesight
	got, ok = season.HardNight(over, []season.Flight{off, warm, best})
	require.True(t, ok)
	assert.True(t, got.Timed)
	assert.Equal(t, 2*1440+720, got.First, "night 3, where foresight is 3 K warmer than the thermostat")
	_, ok = season.HardNight(over, []season.Flight{made(1, house, house)})
	assert.False(t, ok, "a day from midnight has no whole night")
	_, ok = season.HardNight(over, nil)
	assert.False(t, ok)
}

// What a flight saw is what it is scored by, minute by minute.
func TestFlightKeepsWhatItSaw(t *testing.T) {
	t.Parallel()
	b := coldDays(3, night.Pulsed)
	f, err := b.Fly(season.PolicyThermostat)
	require.NoError(t, err)
	require.Len(t, f.Seen, 3*24*60)
	require.Len(t, f.Duties, len(f.Seen))
	sum := 0.0
	for _, g := range f.Seen {
		below := max(0, 5-float64(g.Tunnel))
		sum += below * below / 60
	}
	assert.Positive(t, sum)
	assert.InEpsilon(t, sum, f.Score.Squared, 0.01, "they begin a minute apart")
	assert.InDelta(t, f.Score.Battery, f.Seen[len(f.Seen)-1].Used/1000, 0.001)
}

// coldDays are some days of an invented January on the large plant.
func coldDays(days int, drive night.Drive) season.Bench {
	h := study("LARGE")
	h.Night.Drive = drive
	return season.Bench{
		House: h, Over: season.Span{Start: time.Date(2026, 1, 8, 5, 0, 0, 0, time.UTC), Days: days, Offset: -5 * time.Hour},
		Sky:   func(s weather.Sky) weather.Source { return weather.New(weather.AlderHollow(), s, 1) },
		Steps: 200,
	}
}

// Foresight has the drive that the plan has: only where that runs slower it does too, and
// then it is no worse than at full speed.
func TestForesightHasThePlansDrive(t *testing.T) {
	t.Parallel()
	full := math.Inf(1)
	for _, drive := range []night.Drive{night.Pulsed, night.Varied} {
		b := coldDays(2, drive)
		start, err := b.Fly(season.PolicyThermostat)
		require.NoError(t, err)
		found, err := b.Foresee([]season.Flight{start})
		require.NoError(t, err)
		assert.Less(t, found.Score.Squared, start.Score.Squared)
		assert.LessOrEqual(t, found.Score.Squared, full, "what runs slower can run at full speed too")
		full = found.Score.Squared
		slow := 0
		for _, d := range found.Duties {
			if d > 0 && d < 0.999 {
				slow++
				assert.GreaterOrEqual(t, d, float32(0.23), "the lowest share is (0.1/3.6)^(1/5), its square the speed")
			}
		}
		t.Logf("drive %d: %.1f of %.1f K²h, slow for %d min", drive, found.Score.Squared, start.Score.Squared, slow)
		if drive == night.Pulsed {
			assert.Zero(t, slow)
		}
	}
}
