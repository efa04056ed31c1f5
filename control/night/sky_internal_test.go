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
	assert.InDelta(t, 0.025, s.level(0.05), 1e-12)
	assert.InDelta(t, 0.1+0.05/2, s.level(0.2), 1e-12, "beyond the step")
	assert.InDelta(t, 0.4, s.level(1.3), 1e-12)
	assert.Zero(t, s.level(0))
	assert.True(t, math.IsNaN(s.level(Absent())))
	dark := Sky{}
	assert.InDelta(t, onLevel*0.1, dark.level(0.1), 1e-12)
	assert.InDelta(t, onLevel*0.1, Skies(nil).level(7, 0.1), 1e-12)
	assert.Zero(t, Skies(func(int64) Sky { return s }).level(7, 0))
}

// What is ahead keeps its three courses together, with the level and without.
func TestAheadIsCutAlike(t *testing.T) {
	t.Parallel()
	a := Ahead{House: []float64{1, 2, 3}, Sun: []float64{0.1, 0.2, 0.3}}
	assert.Equal(t, Ahead{House: []float64{1, 2}, Sun: []float64{0.1, 0.2}}, a.First(2))
	a.light(func(slot int64) Sky {
		return Sky{Plane: [Suns]float64{0, 1}, Level: [Suns]float64{0, 0.1 * float64(slot)}}
	}, 5)
	assert.InDeltaSlice(t, []float64{0.05, 0.12, 0.21}, a.Level, 1e-12)
	assert.InDeltaSlice(t, []float64{0.12, 0.21}, a.From(1).Level, 1e-12)
	assert.Equal(t, []float64{2, 3}, a.From(1).House)
}
