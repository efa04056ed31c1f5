package plant_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

func TestProbesReadInSteps(t *testing.T) {
	t.Parallel()
	now := plant.Dusk()
	p := plant.NewProbes(plant.Typical(3), now)
	for range 200 {
		p.Read(now, 10*time.Second)
		for _, place := range plant.Places() {
			got, ok := p.At(place)
			require.True(t, ok)
			steps := float64(got) / 0.0625
			require.InDelta(t, math.Round(steps), steps, 1e-9, "%v at %v", got, place)
		}
		got, _ := p.At(plant.AtTank)
		require.InDelta(t, float64(now.Tank), float64(got), 1.0, "within the probe's class")
	}
}

func TestProbesAreDeterministic(t *testing.T) {
	t.Parallel()
	now := plant.Dusk()
	readings := func(seed uint64) (out []quantity.Celsius) {
		p := plant.NewProbes(plant.Typical(seed), now)
		for range 20 {
			p.Read(now, time.Second)
			c, _ := p.At(plant.AtTunnel)
			out = append(out, c)
		}
		return out
	}
	assert.Equal(t, readings(5), readings(5))
	assert.NotEqual(t, readings(5), readings(6))
}

func TestProbeLag(t *testing.T) {
	t.Parallel()
	// First order in closed form: after one time constant 63.2 % of a step, whatever
	// the sampling.
	cold, hot := plant.Dusk(), plant.Dusk()
	cold.Coil, hot.Coil = 0, 50
	for _, every := range []time.Duration{time.Second, 7 * time.Second, 20 * time.Second} {
		p := plant.NewProbes(plant.ProbeParams{Lag: 20 * time.Second}, cold)
		passed := time.Duration(0)
		for passed < 140*time.Second {
			p.Read(hot, every)
			passed += every
			got, _ := p.At(plant.AtCoil)
			assert.InDelta(t, 50*(1-math.Exp(-passed.Seconds()/20)), float64(got), 1e-9)
		}
	}
}

func TestLostProbes(t *testing.T) {
	t.Parallel()
	p := plant.NewProbes(plant.Typical(1), plant.Dusk())
	p.Lose(plant.AtTank, true)
	_, ok := p.At(plant.AtTank)
	assert.False(t, ok)
	_, ok = p.At(plant.AtCoil)
	assert.True(t, ok, "one lost probe takes no other with it")
	p.Lose(plant.AtTank, false)
	_, ok = p.At(plant.AtTank)
	assert.True(t, ok)
	p.LoseMeter(true)
	_, _, ok = p.Battery()
	assert.False(t, ok)
	_, ok = p.At(plant.Place(99))
	assert.False(t, ok)
	assert.Equal(t, "nowhere", plant.Place(99).String())
	assert.Equal(t, "return", plant.AtReturn.String())
}

func TestMeterErrors(t *testing.T) {
	t.Parallel()
	now := plant.Dusk()
	now.BatteryVolts, now.BatteryAmps = 12.5, -1.1
	m := plant.MeterParams{VoltGain: 1.01, AmpereGain: 0.98, AmpereZero: 0.05, VoltStep: 0.004, AmpereStep: 0.001}
	p := plant.NewProbes(plant.ProbeParams{Meter: m}, now)
	volts, amps, ok := p.Battery()
	require.True(t, ok)
	assert.InDelta(t, 12.625, float64(volts), 0.002)
	assert.InDelta(t, -1.028, float64(amps), 0.0005)

	m = plant.MeterParams{VoltNoise: 0.02, AmpereNoise: 0.01}
	p = plant.NewProbes(plant.ProbeParams{Meter: m, Seed: 4}, now)
	var sum, square float64
	const n = 4000
	for range n {
		p.Read(now, time.Second)
		v, _, _ := p.Battery()
		sum, square = sum+float64(v)-12.5, square+(float64(v)-12.5)*(float64(v)-12.5)
	}
	assert.InDelta(t, 0, sum/n, 0.002)
	assert.InDelta(t, 0.02, math.Sqrt(square/n), 0.002, "the noise asked for")
}
