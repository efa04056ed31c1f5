package trial_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/trial"
)

// fitted is a bench's run, its power stated at a full share whatever was recorded.
func fitted(t *testing.T, b bench, by trial.Sunlit) trial.Fitted {
	t.Helper()
	run, share := b.run(), 1.0
	if by != trial.Constant {
		var highest float64
		run, highest = b.read(t, by)
		if by == trial.ByVoltage {
			share = 400 / (highest * highest)
		}
	}
	f, err := trial.Fit(run)
	require.NoError(t, err)
	f.Power, f.PowerError = f.Power*share, f.PowerError*share
	return f
}

// Whatever followed the power, however coarse the probe and however seldom it is read:
// equal runs are told apart in 8 % of the pairs at most, 95 % intervals hold the truth in
// nine of ten at least, each figure is within 3 % on the median run, and what is steady is
// not taken for a changing sun.
func TestErrorsAreHonestForEveryProbe(t *testing.T) {
	t.Parallel()
	const pairs = 200
	for _, by := range []trial.Sunlit{trial.Constant, trial.ByIrradiance, trial.ByVoltage} {
		for _, probe := range []struct {
			every       int
			noise, step float64
		}{{10, 0.1, 0.0625}, {60, 0.1, 0.0625}, {10, 0.01, 0.0625}, {60, 0.02, 0.001}} {
			t.Run(fmt.Sprintf("%v %+v", by, probe), func(t *testing.T) {
				t.Parallel()
				n := pairs
				inside, lossInside, apart, within, unsteady := 0, 0, 0, 0, 0
				for i := range uint64(n) {
					var f [2]trial.Fitted
					for k := range f {
						b := usual(150, 2*i+uint64(k))
						b.every, b.noise, b.step = probe.every, probe.noise, probe.step
						if by != trial.Constant {
							b.sun = cloudy(b.seed)
						}
						f[k] = fitted(t, b, by)
						if f[k].Unsteady {
							unsteady++
						}
					}
					if low, high := trial.Interval(f[0].Power, f[0].PowerError); low <= 150 && 150 <= high {
						inside++
					}
					if low, high := trial.Interval(f[0].Loss, f[0].LossError); low <= 1.5 && 1.5 <= high {
						lossInside++
					}
					if trial.Compare(f[0], f[1]).Differ {
						apart++
					}
					if near(f[0].Power, 150) && near(f[0].Loss, 1.5) {
						within++
					}
				}
				t.Logf("power inside %d, loss inside %d, equal told apart %d, both within 3 %% %d of %d; unsteady %d of %d",
					inside, lossInside, apart, within, n, unsteady, 2*n)
				assert.GreaterOrEqual(t, inside, n*9/10)
				assert.GreaterOrEqual(t, lossInside, n*9/10)
				assert.LessOrEqual(t, apart, n*8/100)
				assert.GreaterOrEqual(t, within, n*95/100)
				assert.LessOrEqual(t, unsteady, 2*n*2/100)
			})
		}
	}
}

func near(x, truth float64) bool { return x > 0.97*truth && x < 1.03*truth }
