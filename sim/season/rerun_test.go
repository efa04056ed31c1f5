package season_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/coil"
	"duskloop/sim/plant"
	"duskloop/sim/season"
)

// The plainest tunnel: air alone, in a greenhouse at 0 °C, with a tank that loses nothing.
const (
	plainAir   = 60000.0 // J/K
	plainCover = 10.0    // W/K
	plainCoil  = 30.0    // W/K
	plainTank  = 4e5     // J/K
)

func plainHouse() season.House {
	h := season.House{Plant: plant.AlderHollow()}
	p := &h.Plant
	p.Tank = plant.Tank{Volume: p.Tank.Volume, Glycerin: p.Tank.Glycerin, Capacity: plainTank}
	p.Loop = plant.Loop{Circuit: coil.Circuit{Flow: p.Loop.Flow}, Pump: p.Loop.Pump}
	p.Coil = plant.Coil{Lumped: plainCoil}
	p.Fans.InTunnel = 0
	p.Greenhouse = plant.Greenhouse{} // of no figures: as remembered, whatever the tunnel gives
	p.Tunnel = plant.Tunnel{Air: plainAir, Cover: plainCover, Bed: 1e5, BedToAir: 1e-6, BedToSoil: 1e-6}
	return h
}

// evening is when the plain nights begin.
var evening = time.Date(2026, 1, 15, 22, 0, 0, 0, time.UTC)

// frozen is a memory of a greenhouse at 0 °C from the evening on; the tunnel's air is
// remembered for the first hours only.
func frozen(hours, seen int) *night.Memory {
	m := night.NewMemory(nil)
	for i := range hours*60 + 20 {
		s := night.Sample{Time: evening.Add(time.Duration(i) * time.Minute), Passed: time.Minute, Tank: 50, Air: 7, House: 0, Bed: night.Absent(), Sun: 0, Charge: 0.9}
		if i >= seen*60 {
			s.Air = night.Absent()
		}
		m.Add(&s)
	}
	return m
}

// At rest the air cools as e^(-t·UA/C) (Newton's law of cooling), and the squared
// degree-hours below a minimum are the integral of that, worked out by hand.
func TestRerunAtRestAgainstNewtonsLaw(t *testing.T) {
	t.Parallel()
	begun := []season.Begun{{At: evening, Tank: 50, Tunnel: 8, Bed: 8, Charge: 0.9}}
	_, r, ok, err := season.Rerun(plainHouse(), frozen(6, 2), begun, evening.Add(5*time.Hour), 8, fully)
	require.NoError(t, err)
	require.True(t, ok)
	k := plainCover / plainAir * 3600 // an hour
	at := func(h float64) float64 { return 8 * math.Exp(-k*h) }
	// ∫(8 - 8e^(-kh))² dh = 64·(h - 2(1-e^(-kh))/k + (1-e^(-2kh))/(2k))
	cold := func(h float64) float64 {
		return 64 * (h - 2*(1-math.Exp(-k*h))/k + (1-math.Exp(-2*k*h))/(2*k))
	}
	t.Logf("coldest %.3f °C, by the law %.3f; %.2f K²h, by hand %.2f; of two hours %.2f, by hand %.2f", r.Coldest, at(5), r.Squared, cold(5), r.Seen, cold(2))
	assert.InDelta(t, at(5), float64(r.Coldest), 0.03)
	assert.InEpsilon(t, cold(5), r.Squared, 0.01)
	assert.InEpsilon(t, cold(2), r.Seen, 0.02, "of the two hours in which the air is remembered")
	assert.Zero(t, r.Used)
	assert.InDelta(t, 7, float64(r.Was), 1e-6)
}

// The air cools by the law until the run that is told begins, and never lower; the battery
// gives what pump and fans draw.
func TestRerunAsTold(t *testing.T) {
	t.Parallel()
	begun := []season.Begun{{At: evening, Tank: 50, Tunnel: 8, Bed: 8, Charge: 0.9}}
	runs := func(at time.Time) (pump, fans quantity.Share) {
		if at.Sub(evening) > 4*time.Hour {
			return 1, 1
		}
		return 0, 0
	}
	r, bare, ok, err := season.Rerun(plainHouse(), frozen(6, 6), begun, evening.Add(5*time.Hour), 8, runs)
	require.NoError(t, err)
	require.True(t, ok)
	k := plainCover / plainAir * 3600
	assert.InDelta(t, 8*math.Exp(-4*k), float64(r.Coldest), 0.03, "coldest when the run begins")
	assert.Less(t, r.Squared, bare.Squared)
	p := plainHouse().Plant
	draw := float64(p.Loop.Pump + p.Fans.Power)
	assert.InEpsilon(t, draw, r.Used, 0.02, "an hour of pump and fans, Wh")
}

// A stretch of which too little of the greenhouse's air is remembered is not lived again.
func TestRerunNeedsTheAir(t *testing.T) {
	t.Parallel()
	begun := []season.Begun{{At: evening, Tank: 50, Tunnel: 8, Bed: 8, Charge: 0.9}}
	_, _, ok, err := season.Rerun(plainHouse(), frozen(6, 6), begun, evening.Add(8*time.Hour), 8, fully)
	require.NoError(t, err)
	assert.False(t, ok)
}

// Begun anew after two hours as it stood then: the first is at 6 °C, and cools by the law from
// there. Heat ran in the two hours, so the first had been warmer; the second, at rest, is moved
// by as much as that was moved, and not to 6 °C. The bed, joined to nothing, stays.
func TestRerunBeginsAnew(t *testing.T) {
	t.Parallel()
	stood := []season.Begun{
		{At: evening, Tank: 50, Tunnel: 8, Bed: 8, Charge: 0.9},
		{At: evening.Add(2 * time.Hour), Tank: 40, Tunnel: 6, Bed: quantity.Celsius(math.NaN()), Charge: 0.8},
	}
	two, six := evening.Add(2*time.Hour), evening.Add(6*time.Hour)
	early := func(at time.Time) (pump, fans quantity.Share) {
		if at.Before(two) {
			return 1, 1
		}
		return 0, 0
	}
	k := plainCover / plainAir * 3600
	ran, bare, ok, err := season.Rerun(plainHouse(), frozen(6, 6), stood, six, 8, early)
	require.NoError(t, err)
	require.True(t, ok)
	assert.InDelta(t, 6*math.Exp(-4*k), float64(ran.Coldest), 0.03)
	// Two bodies, tank and air, joined by the coil, in steps of a second: where the air was.
	tank, air := 50.0, 8.0
	for range 7200 {
		flow := plainCoil * (tank - air)
		tank, air = tank-flow/plainTank, air+(flow-plainCover*air)/plainAir
	}
	moved := 8*math.Exp(-2*k) + 6 - air
	t.Logf("the air was at %.2f °C: moved by %.2f K, bare from %.2f °C", air, 6-air, moved)
	assert.InDelta(t, moved, float64(bare.Coldest), 0.3)
}

// Beside a greenhouse that the tunnel warms, the one at rest is the colder for it, and what ran
// is not.
func TestRerunAtRestIsBesideAColderGreenhouse(t *testing.T) {
	t.Parallel()
	begun := []season.Begun{{At: evening, Tank: 50, Tunnel: 8, Bed: 8, Charge: 0.9}}
	warmed := plainHouse()
	warmed.Plant.Greenhouse = plant.Greenhouse{Air: 1e5, Cover: 50}
	ran, bare, _, err := season.Rerun(plainHouse(), frozen(6, 6), begun, evening.Add(5*time.Hour), 8, fully)
	require.NoError(t, err)
	ran2, bare2, _, err := season.Rerun(warmed, frozen(6, 6), begun, evening.Add(5*time.Hour), 8, fully)
	require.NoError(t, err)
	assert.Equal(t, ran, ran2)
	assert.Less(t, bare2.Coldest, bare.Coldest-1)
	// At most as cold as beside one that gets all the difference: 10 W/K of (31.7 - 0.4) K over
	// 50 + 10 W/K.
	assert.Greater(t, float64(bare2.Coldest), float64(bare.Coldest)-10*31.3/60)
}

// fully is always on.
func fully(time.Time) (pump, fans quantity.Share) { return 1, 1 }
