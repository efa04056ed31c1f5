package foresight

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The slopes of a battery whose floor gives way are exact too: against differences, on a
// cold night that empties it.
func TestSlopesWithSoftFloor(t *testing.T) {
	t.Parallel()
	const n = 300
	sky := Sky{Outdoors: make([]float64, n), GHI: make([]float64, n), Element: make([]float64, n), Charge: make([]float64, n)}
	schedule := make([]float64, n)
	for i := range n {
		sky.Outdoors[i], schedule[i] = -8, 0.3+0.2*math.Sin(float64(i))
	}
	p := Plant{
		Tank: 40e3, TankLoss: 0.5, Limit: Limit{88, 90}, Coil: 15, Draw: 30, FanHeat: 20, Air: 30e3, Bed: 5e5, BedToAir: 8,
		BedToSoil: 1, Soil: 8, Cover: 15, House: 4e5, HouseOut: 100,
		Battery: Battery{Capacity: 100, Floor: 50, ChargeEfficiency: 0.8, Base: 2},
		Start:   State{Tank: 60, Air: 4, Bed: 6, House: -4, Battery: 72},
	}
	w, err := NewWinter(p, sky, FixedSpeed{}, 5)
	require.NoError(t, err)
	w.soft = 12
	grad, _ := w.Gradient(schedule)
	last := State{}
	w.Follow(schedule, func(_ int, s State) { last = s })
	require.Less(t, last.Battery, 60.0)
	for i := 0; i < n; i += 7 {
		at := func(d float64) float64 {
			s := append([]float64(nil), schedule...)
			s[i] += d
			return w.Simulate(s).Squared
		}
		assert.InDelta(t, (at(1e-4)-at(-1e-4))/2e-4, grad[i], 1e-5*math.Abs(grad[i])+1e-8, "minute %d", i)
	}
}
