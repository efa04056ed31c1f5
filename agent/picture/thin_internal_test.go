package picture

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// A straightened line keeps its ends and places of the whole one alone, and nowhere lies farther
// from it than nobody sees, measured straight up: against the definition, not the method.
func TestStraightenedLiesOnTheWholeLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var all []place
		for i, y := range rapid.SliceOfN(rapid.Float64Range(0, 3), 1, 200).Draw(t, "heights") {
			all = append(all, place{float64(i) * 0.4, y})
		}
		left := straightened(all)
		assert.Equal(t, all[0], left[0])
		assert.Equal(t, all[len(all)-1], left[len(left)-1])
		at := 0
		for _, p := range all {
			for at+1 < len(left) && left[at+1].x < p.x {
				at++
			}
			if at+1 < len(left) {
				a, b := left[at], left[at+1]
				straight := a.y + (b.y-a.y)*(p.x-a.x)/(b.x-a.x)
				upright := math.Abs(straight-p.y) * math.Cos(math.Atan((b.y-a.y)/(b.x-a.x)))
				assert.LessOrEqual(t, upright, unseen+1e-9)
			}
		}
		for _, p := range left {
			assert.Contains(t, all, p)
		}
	})
	var flat []place
	for i := range 300 {
		flat = append(flat, place{float64(i), 0.2 * float64(i%2)})
	}
	assert.Len(t, straightened(flat), 2, "noise that is not seen")
	flat[150].y = 4
	assert.Contains(t, straightened(flat), flat[150], "what is seen stays")
}
