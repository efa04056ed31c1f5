package picture

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Any reach that an axis can have, as seen: numbers at equal steps that say what they
// are to a hundredth of a step, within the reach or about it, and not too many.
func TestNumbersSayWhereTheyStand(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(-mostValue, mostValue).Draw(t, "a")
		size := math.Pow(10, rapid.Float64Range(-6, 6).Draw(t, "size"))
		r := nowhere().with(a / mostValue * size).with(rapid.Float64Range(-1, 1).Draw(t, "b") * size).seen()
		out := widened(r.low, r.high, 6)
		require.LessOrEqual(t, out.low, r.low)
		require.GreaterOrEqual(t, out.high, r.high)
		checkTicks(t, out, 7)
		p := across{canvas: newCanvas("", ""), along: r}
		p.right = p.left + rapid.Float64Range(175, 350).Draw(t, "wide")
		p.divide()
		require.GreaterOrEqual(t, len(p.ticks.marks()), 2)
		for _, v := range p.ticks.marks() {
			require.InDelta(t, (p.left+p.right)/2, p.x(v), (p.right-p.left)/2+0.01, "%v is outside", v)
		}
		checkTicks(t, p.ticks, 8)
	})
}

func checkTicks(t *rapid.T, k ticks, most int) {
	t.Helper()
	marks := k.marks()
	require.LessOrEqual(t, len(marks), most)
	require.LessOrEqual(t, k.widest(), 60.0)
	for _, v := range marks {
		said, err := strconv.ParseFloat(k.label(v), 64)
		require.NoError(t, err)
		require.InDelta(t, v, said, k.step/100)
	}
}

func TestSignificant(t *testing.T) {
	t.Parallel()
	for v, want := range map[float64]string{0: "0", 40: "40", 104.2: "104.2", 12345.6: "12346", -0.04567: "-0.04567", 1.23456: "1.235", 1e6: "1000000"} {
		assert.Equal(t, want, significant(v))
	}
}

// Equal values are drawn in the middle of numbers about them.
func TestEqualValuesHaveAScale(t *testing.T) {
	t.Parallel()
	assert.Equal(t, reach{49, 51}, reach{50, 50}.seen())
	assert.Equal(t, reach{-1, 1}, reach{0, 0}.seen())
	assert.Equal(t, reach{3, 9}, reach{3, 9}.seen())
}
