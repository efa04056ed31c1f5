package coil_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/coil"
)

// hose is a small circuit: 6 m of 10 mm hose.
func hose() coil.Circuit {
	return coil.Circuit{Flow: 1.8, Head: 1.2, Bore: 0.010, Length: 6}
}

func TestMeasuredFlowComesBack(t *testing.T) {
	t.Parallel()
	warm := liquid(t, 0.35, coil.Warm).Kinematic()
	p, err := coil.NewPumped(hose(), warm)
	require.NoError(t, err)
	assert.InEpsilon(t, 1.8, p.Flow(1, warm), 1e-3)
	assert.Zero(t, p.Flow(0, warm))
}

func TestLaminarFlowByHand(t *testing.T) {
	t.Parallel()
	// With a thick liquid the loss is Hagen-Poiseuille, h = 128 v L q / (pi g D^4), and
	// the flow the root of a quadratic: H - k q² = r q.
	c := hose()
	const warm = 4e-6 // Re = 4 x 3e-5 / (pi x 0.01 x 4e-6) = 955, laminar too
	p, err := coil.NewPumped(c, warm)
	require.NoError(t, err)
	measured := 1.8 / 60000.0
	loss := 128 * warm * 6 * measured / (math.Pi * 9.80665 * 1e-8)
	k := (1.2 - loss) / (measured * measured)
	for _, v := range []float64{1e-5, 5e-5, 3e-4} {
		r := 128 * v * 6 / (math.Pi * 9.80665 * 1e-8)
		q := (-r + math.Sqrt(r*r+4*k*1.2)) / (2 * k)
		assert.InEpsilon(t, q*60000, p.Flow(1, v), 1e-3, "%g m2/s", v)
		// The affinity laws at half duty: head a quarter.
		q = (-r + math.Sqrt(r*r+4*k*1.2/4)) / (2 * k)
		assert.InEpsilon(t, q*60000, p.Flow(0.5, v), 1e-3, "%g m2/s, half duty", v)
	}
}

func TestColdMixFlowsLess(t *testing.T) {
	t.Parallel()
	p, err := coil.NewPumped(hose(), liquid(t, 0.5, coil.Warm).Kinematic())
	require.NoError(t, err)
	last := math.Inf(1)
	for v := 1e-7; v < 1e-2; v *= 1.07 {
		// In the transition friction rises with the flow, so less flow there can cost
		// less; still never more flow in a thicker liquid but for that.
		now := p.Flow(1, v)
		assert.LessOrEqual(t, now, last*1.08, "%g", v)
		last = now
	}
	cold := p.Flow(1, liquid(t, 0.5, -15).Kinematic())
	assert.Less(t, cold, 0.8*p.Flow(1, liquid(t, 0.5, 40).Kinematic()))
	assert.Greater(t, cold, 0.05)
}

func TestFlowThatCannotBe(t *testing.T) {
	t.Parallel()
	c := hose()
	c.Flow = 60
	_, err := coil.NewPumped(c, 1e-6)
	require.ErrorIs(t, err, coil.ErrRange)
	c.Bore, c.Length, c.Head = 1, 0, 99
	_, err = coil.NewPumped(c, 1e-6)
	for _, what := range []string{"head", "bore", "length"} {
		require.ErrorContains(t, err, what)
	}
	free, err := coil.NewPumped(coil.Circuit{Flow: 2}, 1e-6)
	require.NoError(t, err)
	assert.InDelta(t, 1.0, free.Flow(0.5, 1e-3), 1e-12, "without a head the liquid does not count")
}
