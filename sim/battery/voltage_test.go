package battery_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/battery"
)

// A datasheet's 20 h capacity ends at 1.75 V a cell, 10.5 V; LiFePO4 at 2.5 V, 10 V.
// Cold leaves charge behind that cannot be drawn: rest would read well over 11.9 V,
// but the load sees the same end.
func TestEmptyCollapsesUnderLoad(t *testing.T) {
	t.Parallel()
	for _, at := range []quantity.Celsius{25, 0, -15} {
		for kind, end := range map[battery.Chemistry]float64{battery.Flooded: 10.5, battery.AGM: 10.5, battery.LiFePO4: 10} {
			b := build(t, kind, 34, 1)
			half := 0.0
			for b.Step(time.Minute, -1.7, at) < -1.699 {
				if b.Available(at) > battery.Typical(kind, 34).Capacity/4 {
					half = float64(b.Volts())
				}
			}
			assert.Less(t, float64(b.VoltsAt(-1.7)), end+0.25, "%v at %v", kind, at)
			if kind != battery.LiFePO4 { // its table of rest voltages goes on down to 8 V
				assert.Greater(t, float64(b.VoltsAt(-1.7)), end-0.25, "%v at %v", kind, at)
			}
			assert.Greater(t, half, 11.8, "%v at %v, still far from empty", kind, at)
			if at < 0 {
				assert.Greater(t, float64(b.Rest()), 11.95, "%v: at rest the voltage would hide it", kind)
			}
			assert.Less(t, float64(b.VoltsAt(-1.7)), float64(b.VoltsAt(-0.1)), "a small load shows less of it")
		}
	}
}

// The cut-off of 11.9 V, freed of the load's resistance, is passed before a cold battery
// has nothing left: a controller that watches the voltage can stop the pump in time.
func TestColdBatteryPassesTheCutOffInTime(t *testing.T) {
	t.Parallel()
	b := build(t, battery.AGM, 34, 0.6)
	left := quantity.AmpereHour(0)
	for b.Step(time.Minute, -1.2, -10) < -1.199 {
		freed := float64(b.Volts()) + 1.2*0.020
		if freed < 11.9 && left == 0 {
			left = b.Available(-10)
		}
	}
	assert.Greater(t, float64(left), 0.5, "Ah ready when the cut-off is passed")
}

// A usual AGM curve at C/20, from memory, unverified: about 12.3 V at half, 11.9 at 20 %,
// 11.5 at 10 %. Told to 0.2 V, which is what such curves differ by.
func TestDischargeCurve(t *testing.T) {
	t.Parallel()
	b := build(t, battery.AGM, 34, 1)
	want := map[int]float64{10 * 60: 12.3, 16 * 60: 11.9, 18 * 60: 11.5}
	for minute := 1; minute <= 18*60; minute++ {
		require.InDelta(t, -1.7, float64(b.Step(time.Minute, -1.7, 25)), 1e-9)
		if v, asked := want[minute]; asked {
			assert.InDelta(t, v, float64(b.Volts()), 0.2, "after %d h", minute/60)
		}
	}
}

// The voltage has no step in it when the load is put on slowly.
func TestVoltageIsContinuous(t *testing.T) {
	t.Parallel()
	b := build(t, battery.AGM, 34, 0.3)
	b.Step(time.Minute, -0.5, -5)
	last := b.VoltsAt(1)
	for milliamps := 999; milliamps > -3000; milliamps-- {
		v := b.VoltsAt(quantity.Ampere(milliamps) / 1000)
		require.Less(t, v, last, "more load, less voltage")
		require.Less(t, float64(last-v), 0.02, "at %d mA", milliamps)
		last = v
	}
}
