package trial_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/trial"
)

// unsteady counts the runs of n whose readings say that the power changed, of benches that
// recorded neither voltage nor irradiance.
func unsteady(t *testing.T, n int, of func(seed uint64) bench) (count int) {
	t.Helper()
	for i := range uint64(n) {
		f, err := trial.Fit(of(i).run())
		require.NoError(t, err)
		if f.Unsteady {
			count++
		}
	}
	return count
}

// Of 400 runs at constant power at most 2 % are taken for a changing sun, whatever the
// probe's noise and steps.
func TestSteadyPowerIsTakenForSteady(t *testing.T) {
	t.Parallel()
	for _, probe := range []struct {
		every, noise, step float64
	}{{10, 0.1, 0.0625}, {60, 0.1, 0.0625}, {30, 0.05, 0.0625}, {10, 0.005, 0.0625}, {60, 0.005, 0.0625}, {60, 0.005, 0.5}, {10, 0.02, 0}} {
		n := unsteady(t, 400, func(seed uint64) bench {
			b := usual(150, seed)
			b.every, b.noise, b.step = int(probe.every), probe.noise, probe.step
			return b
		})
		t.Logf("%+v: %d of 400", probe, n)
		assert.LessOrEqual(t, n, 8, "%+v", probe)
	}
}

// dimmed is a sun that for so many seconds is but a share of what it was.
func dimmed(share float64, long int) func(seed uint64) func(int) float64 {
	return func(seed uint64) func(int) float64 {
		from := 1800 + 37*int(seed)
		return func(s int) float64 {
			if s >= from && s < from+long {
				return share
			}
			return 1
		}
	}
}

// clear is a sun that stands highest after so many hours, in a plane that turns with the
// hour angle alone: 15° an hour.
func clear(highest float64) func(uint64) func(int) float64 {
	return func(uint64) func(int) float64 {
		return func(s int) float64 { return math.Cos(2 * math.Pi * (float64(s)/3600 - highest) / 24) }
	}
}

// Runs under passing clouds, one long one or a climbing sun are told by their readings
// alone. What changes power and loss by no more than 3 % is told where it is read often.
func TestChangingSunIsToldByTheReadings(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name         string
		sun          func(seed uint64) func(int) float64
		often, least int // of 100, read every 10 s and every 60 s
	}{
		{"clouds", cloudy, 100, 100},
		{"half for half an hour", dimmed(0.5, 1800), 100, 100},
		{"a clear morning", clear(4), 100, 100},
		{"a fifth less for ten minutes", dimmed(0.8, 600), 90, 30},
		{"a clear noon", clear(1.5), 75, 10},
	} {
		for every, want := range map[int]int{10: row.often, 60: row.least} {
			n := unsteady(t, 100, func(seed uint64) bench {
				b := usual(150, seed)
				b.every, b.noise, b.sun = every, 0.1, row.sun(seed)
				return b
			})
			t.Logf("%s, every %d s: %d of 100", row.name, every, n)
			assert.GreaterOrEqual(t, n, want, "%s, every %d s", row.name, every)
		}
	}
}
