package battery_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/battery"
)

// compensated is a lead-acid set-point at a temperature: -5 mV/K in six cells from 25 °C
// (a flooded deep-cycle datasheet: 0.028 V a cell for 5.55 K); LiFePO4 has none.
func compensated(kind battery.Chemistry, v quantity.Volt, at quantity.Celsius) float64 {
	if kind == battery.LiFePO4 {
		return float64(v)
	}
	return float64(v) - 6*0.028/5.55*float64(at-25)
}

// Three stages, at three temperatures: what is offered flows; then the voltage is held
// and the current falls; then the battery is full and floats.
func TestChargeStages(t *testing.T) {
	t.Parallel()
	for _, kind := range []battery.Chemistry{battery.Flooded, battery.AGM, battery.LiFePO4} {
		for _, at := range []quantity.Celsius{2, 25, 38} {
			t.Run(kind.String()+" at "+at.String(), func(t *testing.T) {
				t.Parallel()
				p := battery.Typical(kind, 30)
				b := build(t, kind, 30, 0.4)
				seen := charge(t, b, 3, at, 48*60)
				require.NotZero(t, seen[battery.Bulk])
				require.NotZero(t, seen[battery.Absorb])
				require.NotZero(t, seen[battery.Float])
				assert.InDelta(t, compensated(kind, p.Float, at), float64(b.Volts()), 0.03, "float")
				assert.Less(t, float64(b.Amps()), 0.05, "a full battery takes hardly any")
				assert.Greater(t, float64(b.Charge()), 0.99)
			})
		}
	}
}

// charge offers a current for so many minutes and counts the minutes of each stage,
// which must follow each other, with a falling current and no voltage above the
// absorb set-point.
func charge(t *testing.T, b *battery.Battery, offered quantity.Ampere, at quantity.Celsius, minutes int) map[battery.Stage]int {
	t.Helper()
	kind, p := b.Kind(), battery.Typical(b.Kind(), 30)
	seen := map[battery.Stage]int{}
	stage, last := battery.Bulk, offered
	for range minutes {
		amps := b.Step(time.Minute, offered, at)
		now := b.Stage()
		seen[now]++
		require.GreaterOrEqual(t, now, stage, "no way back")
		require.LessOrEqual(t, float64(b.Volts()), compensated(kind, p.Absorb, at)+0.02, "at %v", b.Charge())
		switch now {
		case battery.Bulk:
			require.Equal(t, offered, amps, "bulk takes all that is offered")
		case battery.Absorb:
			require.LessOrEqual(t, amps, last, "the current falls")
			require.InDelta(t, compensated(kind, p.Absorb, at), float64(b.Volts()), 0.02, "absorb holds")
		}
		stage, last = now, amps
	}
	return seen
}

// From float, the charger begins anew once some charge has been used.
func TestFloatEndsWithUse(t *testing.T) {
	t.Parallel()
	b := build(t, battery.AGM, 30, 0.9)
	charge(t, b, 3, 25, 24*60)
	require.Equal(t, battery.Float, b.Stage())
	for range 3 * 60 {
		b.Step(time.Minute, -1, 25)
	}
	assert.Equal(t, battery.Bulk, b.Stage())
	assert.InDelta(t, 3, float64(b.Step(time.Minute, 3, 25)), 1e-12)
}

// A charger that comes with long steps does not shoot past the set-point either.
func TestLongStepsHoldTheSetPoint(t *testing.T) {
	t.Parallel()
	for _, dt := range []time.Duration{time.Second, 10 * time.Minute, 2 * time.Hour} {
		b := build(t, battery.Flooded, 30, 0.6)
		for range 50 {
			b.Step(dt, 7, 10)
			require.LessOrEqual(t, float64(b.Volts()), compensated(battery.Flooded, 14.6, 10)+0.02, "%v", dt)
		}
	}
}

func TestColdLithiumRefusesCharge(t *testing.T) {
	t.Parallel()
	b := build(t, battery.LiFePO4, 20, 0.5)
	assert.Zero(t, b.Acceptance(-0.1))
	for range 60 {
		assert.Zero(t, b.Step(time.Minute, 2, -1))
	}
	assert.InDelta(t, 0.5, float64(b.Charge()), 0.001)
	assert.NotEqual(t, battery.Float, b.Stage(), "refusing is not being full")
	assert.Positive(t, b.Step(time.Minute, 2, 1))
	assert.Negative(t, b.Step(time.Minute, -2, -1), "discharge is allowed")
}

// Of what is charged the efficiency is stored, the rest is lost, to the last bit of it.
func TestChargeEfficiency(t *testing.T) {
	t.Parallel()
	b := build(t, battery.Flooded, 100, 0.3)
	before := b.Charge()
	for range 120 {
		require.InDelta(t, 5, float64(b.Step(time.Minute, 5, 25)), 1e-12)
	}
	k := b.Book()
	assert.InDelta(t, 10, float64(k.In), 1e-9)
	assert.InDelta(t, 1.5, float64(k.Lost), 1e-9, "85 % of 10 Ah is stored")
	gained := float64(b.Charge()-before) * float64(battery.Typical(battery.Flooded, 100).Capacity)
	assert.InDelta(t, 8.5-float64(k.Faded), gained, 1e-9)
}

// By size: a quarter of the capacity an hour for lead-acid, half for LiFePO4.
func TestChargeIsLimitedBySize(t *testing.T) {
	t.Parallel()
	for kind, share := range map[battery.Chemistry]float64{battery.Flooded: 0.25, battery.AGM: 0.25, battery.LiFePO4: 0.5} {
		b := build(t, kind, 40, 0.3)
		want := share * float64(battery.Typical(kind, 40).Capacity)
		assert.InEpsilon(t, want, float64(b.Step(time.Minute, 500, 25)), 1e-9, "%v", kind)
		assert.InDelta(t, (500-want)/60, float64(b.Book().Refused), 1e-9, "the rest is refused")
	}
}

// Left alone for 30 days at 25 °C a battery loses its rate of what it holds; ten kelvin
// more double the rate.
func TestSelfDischargeDoublesWithTenKelvin(t *testing.T) {
	t.Parallel()
	for _, kind := range []battery.Chemistry{battery.Flooded, battery.AGM, battery.LiFePO4} {
		lost := func(at quantity.Celsius) float64 {
			b := build(t, kind, 40, 1)
			for range 30 * 24 {
				b.Step(time.Hour, 0, at)
			}
			return 1 - float64(b.Charge())
		}
		rate := float64(battery.Typical(kind, 40).SelfDischarge)
		assert.InEpsilon(t, 1-math.Exp(-rate), lost(25), 0.002, "%v", kind)
		assert.InEpsilon(t, 1-math.Exp(-2*rate), lost(35), 0.002, "%v", kind)
	}
}
