package trial_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/trial"
)

// Known power and loss come back within 3 %, whatever vessel, where a run heats for hours
// and then stands for some.
func TestKnownRunsAreRecovered(t *testing.T) {
	t.Parallel()
	for seed, row := range []struct{ power, loss, litres, hours float64 }{
		{150, 1.5, 20, 6}, {60, 0.4, 2, 2}, {300, 3, 60, 8}, {420, 1.2, 24, 3}, {36, 0.3, 2, 3},
	} {
		run := made(row.power, row.loss, 4180*row.litres, row.hours, row.hours, uint64(seed))
		f, err := trial.Fit(run)
		require.NoError(t, err)
		t.Logf("%+v: %.1f ± %.1f W, %.3f ± %.3f W/K, noise %.3f K, lasting %.2f", row, f.Power, f.PowerError, f.Loss, f.LossError, f.Noise, f.Lasting)
		assert.InEpsilon(t, row.power, f.Power, 0.03)
		assert.InEpsilon(t, row.loss, f.Loss, 0.03)
	}
}

// The worked examples of the project's facts (10.1): a tank of which 150 W take 6.5 h from
// 15 to 60 °C without loss takes 9.3 h with 1.5 W/K to 10 °C, whose end would be 110 °C;
// a litre of water by 80 K with 2 kW, 167 s.
func TestWorkedHeatUp(t *testing.T) {
	t.Parallel()
	v := trial.Vessel{Heat: 6.5 * 3600 * 150 / 45, Power: 150, Loss: 1.5, Air: 10}
	with, without := v.Until(15, 60)
	assert.InDelta(t, 9.3, with/3600, 0.05)
	assert.InDelta(t, 6.5, without/3600, 1e-9)
	assert.InDelta(t, 60, v.At(15, with), 1e-9)
	never, _ := v.Until(15, 110)
	assert.True(t, math.IsInf(never, 1))
	litre := trial.Vessel{Heat: 4180, Power: 2000}
	with, _ = litre.Until(20, 100)
	assert.InDelta(t, 167, with, 0.5)
	assert.InDelta(t, 100, litre.At(20, with), 1e-9)
}

// What is no run is refused, and what tells too little of both figures says so.
func TestPoorRunsAreRefused(t *testing.T) {
	t.Parallel()
	good := func() *trial.Run { return made(150, 1.5, 83600, 1, 1, 3) }
	for name, spoil := range map[string]func(*trial.Run){
		"too short":      func(r *trial.Run) { r.Readings = r.Readings[:7] },
		"no heat":        func(r *trial.Run) { r.Heat = 0 },
		"backwards":      func(r *trial.Run) { r.Readings[5].At = r.Readings[4].At },
		"no temperature": func(r *trial.Run) { r.Readings[5].Liquid = math.NaN() },
		"never on": func(r *trial.Run) {
			for i := range r.Readings {
				r.Readings[i].On = 0
			}
		},
	} {
		r := good()
		spoil(r)
		_, err := trial.Fit(r)
		require.ErrorIs(t, err, trial.ErrRun, name)
	}
}

// The 95 % interval holds the truth in nine runs of ten at least; equal runs are told
// apart in 8 % of the pairs at most, and runs of 150 and 140 W are.
func TestErrorsAreHonest(t *testing.T) {
	t.Parallel()
	const runs = 200
	inside, lossInside, apart, different := 0, 0, 0, 0
	for i := range uint64(runs) {
		a, err := trial.Fit(made(150, 1.5, 83600, 3, 2, 2*i))
		require.NoError(t, err)
		b, err := trial.Fit(made(150, 1.5, 83600, 3, 2, 2*i+1))
		require.NoError(t, err)
		c, err := trial.Fit(made(140, 1.5, 83600, 3, 2, 2*i+7001))
		require.NoError(t, err)
		if low, high := trial.Interval(a.Power, a.PowerError); low <= 150 && 150 <= high {
			inside++
		}
		if low, high := trial.Interval(a.Loss, a.LossError); low <= 1.5 && 1.5 <= high {
			lossInside++
		}
		if trial.Compare(a, b).Differ {
			apart++
		}
		if trial.Compare(a, c).Differ {
			different++
		}
	}
	t.Logf("power inside %d, loss inside %d, equal told apart %d, different told apart %d of %d", inside, lossInside, apart, different, runs)
	assert.GreaterOrEqual(t, inside, runs*9/10)
	assert.GreaterOrEqual(t, lossInside, runs*9/10)
	assert.LessOrEqual(t, apart, runs*8/100)
	assert.GreaterOrEqual(t, different, runs*9/10)
}
