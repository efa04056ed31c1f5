package season_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control/night"
	"duskloop/sim/season"
)

// Nights are counted noon to noon, held where no minute was more than half a
// kelvin below; hours too hot are the
// tank's.
func TestOutcomeOfWhatWasSeen(t *testing.T) {
	t.Parallel()
	over := season.Span{Start: time.Date(2026, 1, 1, 5, 0, 0, 0, time.UTC), Days: 6, Offset: -5 * time.Hour}
	f := made(6, func(int) float32 { return -5 }, func(n int) float32 { return map[int]float32{1: 6, 2: 4.4, 3: 4.5, 4: -2, 5: 9}[n] })
	for i := range f.Seen {
		f.Seen[i].Tank, f.Seen[i].Charge = 60, 0.9
	}
	for i := range 90 {
		f.Seen[1000+i].Tank = 81
	}
	f.Seen[4000].Charge = 0.4
	o := f.Outcome(over, 5, 80)
	assert.Equal(t, 5, o.Nights)
	assert.Equal(t, 3, o.Held)
	assert.InDelta(t, -2, o.Coldest, 0)
	assert.InDelta(t, 1.5, o.TooHot, 1e-9)
	assert.InDelta(t, 81, o.Hottest, 0)
	assert.InDelta(t, 0.4, float64(o.Flattest), 1e-6)
}

// Heat holds more nights than none, and the flight's sums are the plant's own: the heat
// that the coil gave came from the element and the tank's first warmth.
func TestOutcomeOfAFlight(t *testing.T) {
	t.Parallel()
	b := coldDays(10, night.Pulsed)
	off, err := b.Fly(season.PolicyOff)
	require.NoError(t, err)
	warm, err := b.Fly(season.PolicyFloor)
	require.NoError(t, err)
	without, with := off.Outcome(b.Over, 5, 80), warm.Outcome(b.Over, 5, 80)
	assert.Equal(t, 9, with.Nights)
	assert.GreaterOrEqual(t, with.Held, without.Held)
	assert.Less(t, with.Squared, without.Squared)
	assert.Zero(t, off.Meters.BatteryUsed)
	assert.Zero(t, off.Meters.HeatToTunnel)
	assert.Positive(t, warm.Meters.HeatToTunnel)
	assert.Less(t, float64(warm.Meters.HeatToTunnel+warm.Meters.TankLoss), float64(warm.Meters.HeatIntoTank)+203.5*80/3.6)
	assert.InDelta(t, with.Battery, float64(warm.Meters.BatteryUsed)/1000, 1e-9)
}
