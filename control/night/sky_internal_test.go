package night

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Between the suns that a sky knows it is straight; above them there is no more; where it
// knows none, or there is no sky, the usual share.
func TestLevelOfASky(t *testing.T) {
	t.Parallel()
	var s Sky
	for i := range s.Plane {
		s.Plane[i], s.Level[i] = 0.1*float64(i), 0.05*float64(i)
	}
	s.Plane[2] = s.Plane[1] // it may stand still, but not fall
	assert.InDelta(t, 0.025, s.OnLevel(0.05), 1e-12)
	assert.InDelta(t, 0.1+0.05/2, s.OnLevel(0.2), 1e-12, "beyond the step")
	assert.InDelta(t, 0.4, s.OnLevel(1.3), 1e-12)
	assert.Zero(t, s.OnLevel(0))
	assert.True(t, math.IsNaN(s.OnLevel(Absent())))
	dark := Sky{}
	assert.InDelta(t, onLevel*0.1, dark.OnLevel(0.1), 1e-12)
	var none daylight
	assert.InDelta(t, onLevel*0.1, none.level(7, 0.1), 1e-12)
}

// A sky is asked once, and again for a day and a half later or earlier; a slot's level is
// kept with it.
func TestSkiesAreAskedOnceADay(t *testing.T) {
	t.Parallel()
	asked := 0
	m := NewMemory(func(slot int64) Sky {
		asked++
		return Sky{Plane: [Suns]float64{0, 1}, Level: [Suns]float64{0, 0.5}, Clear: float64(slot)}
	})
	d := &m.light
	const noon = int64(2_900_000)
	for _, slot := range []int64{noon, noon, noon + slotsADay, noon - slotsADay} {
		assert.InDelta(t, noon, d.sky(slot).Clear, 0)
	}
	assert.Equal(t, 1, asked)
	assert.InDelta(t, noon+2*slotsADay, d.sky(noon+2*slotsADay).Clear, 0)
	assert.InDelta(t, noon, d.sky(noon).Clear, 0)
	assert.Equal(t, 3, asked)
	assert.Nil(t, d.sky(-1))
	m.put(noon, Slot{Sun: 0.4})
	assert.InDelta(t, 0.2, m.find(noon).Level, 1e-6)
}

// What is ahead keeps its three courses together, with the level and without.
func TestAheadIsCutAlike(t *testing.T) {
	t.Parallel()
	a := Ahead{House: []float64{1, 2, 3}, Sun: []float64{0.1, 0.2, 0.3}}
	assert.Equal(t, Ahead{House: []float64{1, 2}, Sun: []float64{0.1, 0.2}}, a.First(2))
	a.light(&daylight{skies: func(slot int64) Sky {
		return Sky{Plane: [Suns]float64{0, 1}, Level: [Suns]float64{0, 0.1 * float64(slot)}}
	}}, 5)
	assert.InDeltaSlice(t, []float64{0.05, 0.12, 0.21}, a.Level, 1e-12)
	assert.InDeltaSlice(t, []float64{0.12, 0.21}, a.From(1).Level, 1e-12)
	assert.Equal(t, []float64{2, 3}, a.From(1).House)
}
