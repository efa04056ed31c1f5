package battery_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/battery"
)

func build(t *testing.T, c battery.Chemistry, size quantity.AmpereHour, charge quantity.Share) *battery.Battery {
	t.Helper()
	b, err := battery.New(battery.Typical(c, size), charge)
	require.NoError(t, err)
	return b
}

func TestRestVoltage(t *testing.T) {
	t.Parallel()
	// Lead-acid: the usual rest-voltage tables, from memory, unverified. LiFePO4: cell
	// values of the Zephyr project's battery.h, times four.
	tests := []struct {
		name   string
		kind   battery.Chemistry
		charge quantity.Share
		want   float64
	}{
		{"flooded full", battery.Flooded, 1, 12.65},
		{"flooded half", battery.Flooded, 0.5, 12.24},
		{"flooded empty", battery.Flooded, 0, 11.89},
		{"AGM full", battery.AGM, 1, 12.85},
		{"AGM three quarters", battery.AGM, 0.75, 12.6},
		{"LiFePO4 full", battery.LiFePO4, 1, 4 * 3.348},
		{"LiFePO4 30 %", battery.LiFePO4, 0.3, 4 * 3.194},
		{"LiFePO4 90 %", battery.LiFePO4, 0.9, 4 * 3.262},
		{"over full", battery.AGM, 1.2, 12.85},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			assert.InDelta(t, tt.want, float64(tt.kind.RestVoltage(tt.charge)), 0.005)
		})
	}
}

func TestDischargeTime(t *testing.T) {
	t.Parallel()
	// What is printed on it: 20 Ah at the 20 h rate is 1 A for 20 h at 25 °C, less
	// self-discharge; at 0 °C 82.5 % of it, so 0.825 A for as long.
	for at, amps := range map[quantity.Celsius]quantity.Ampere{25: 1, 0: 0.825} {
		for _, kind := range []battery.Chemistry{battery.Flooded, battery.AGM} {
			b := build(t, kind, 20, 1)
			assert.InDelta(t, 20, hoursAt(t, b, amps, at), 0.15, "%v at %v", kind, at)
			assert.Less(t, float64(-b.Step(time.Minute, -amps, at)), 0.65*float64(amps), "what still flows is what follows from the bound charge")
		}
	}
}

// hoursAt draws a constant current until it is no longer given whole.
func hoursAt(t *testing.T, b *battery.Battery, amps quantity.Ampere, at quantity.Celsius) float64 {
	t.Helper()
	n := 0
	for b.Step(time.Minute, -amps, at) < -0.9999*amps {
		n++
		require.Less(t, n, 60*200)
	}
	return float64(n) / 60
}

func TestSurfaceChargeFades(t *testing.T) {
	t.Parallel()
	b := build(t, battery.AGM, 34, 0.7)
	for range 180 {
		b.Step(time.Minute, 3, 20)
	}
	b.Step(time.Minute, 0, 20)
	fresh := b.Volts() - b.Rest()
	assert.Greater(t, float64(fresh), 0.1, "reads full when it is not")
	for range 10 * 60 {
		b.Step(time.Minute, 0, 20)
	}
	assert.Less(t, float64(b.Volts()-b.Rest()), 0.005)
}

func TestSelfDischarge(t *testing.T) {
	t.Parallel()
	b := build(t, battery.Flooded, 50, 1)
	for range 30 * 24 {
		b.Step(time.Hour, 0, 25)
	}
	// 10 % in 30 days, of what is left: exp(-0.1).
	assert.InDelta(t, 0.9048, float64(b.Charge()), 0.001)
}

func TestValidate(t *testing.T) {
	t.Parallel()
	p := battery.Typical(battery.AGM, 20)
	p.Capacity, p.Efficiency, p.Absorb, p.Ready, p.Exchange = -1, 2, 11, 0, 0
	_, err := battery.New(p, 0.5)
	require.Error(t, err)
	for _, what := range []string{"capacity", "efficiency", "set-points", "ready", "exchange"} {
		assert.ErrorContains(t, err, what)
	}
	_, err = battery.New(battery.Typical(battery.AGM, 20), 1.5)
	require.ErrorContains(t, err, "charge")
}

func ExampleBattery() {
	b, err := battery.New(battery.Typical(battery.AGM, 34), 0.8)
	if err != nil {
		fmt.Println(err)
		return
	}
	b.Step(8*time.Hour, -0.5, 5)
	fmt.Printf("%v left, %v at the terminals\n", b.Charge(), b.Volts())
	// Output: 68.8 % left, 12.46 V at the terminals
}
