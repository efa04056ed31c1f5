package battery_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

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
	// 20 Ah at 1 A lasts 20 h at 25 °C less self-discharge; at 0 °C 82.5 % of it.
	for at, hours := range map[quantity.Celsius]float64{25: 20, 0: 16.5} {
		b := build(t, battery.AGM, 20, 1)
		n := 0
		for b.Step(time.Minute, -1, at) < -0.999 {
			n++
			require.Less(t, n, 3000)
		}
		assert.InDelta(t, hours, float64(n)/60, 0.15, "at %v", at)
		assert.Zero(t, b.Step(time.Minute, -1, at), "an empty battery gives nothing")
	}
}

func TestChargeTapersAndHolds(t *testing.T) {
	t.Parallel()
	for _, kind := range []battery.Chemistry{battery.Flooded, battery.AGM, battery.LiFePO4} {
		t.Run(kind.String(), func(t *testing.T) {
			t.Parallel()
			b := build(t, kind, 30, 0.4)
			first := b.Step(time.Minute, 3, 25)
			assert.InDelta(t, 3, float64(first), 1e-9, "bulk takes all that is offered")
			top := quantity.Volt(0)
			last := first
			for range 60 * 24 {
				last = b.Step(time.Minute, 3, 25)
				top = max(top, b.Volts())
			}
			assert.Less(t, float64(last), 0.1, "a full battery takes hardly any")
			assert.InDelta(t, float64(battery.Typical(kind, 30).Absorb), float64(top), 0.01, "absorb")
			assert.InDelta(t, float64(battery.Typical(kind, 30).Float), float64(b.Volts()), 0.01, "float")
			assert.Greater(t, float64(b.Charge()), 0.99)
		})
	}
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

func TestColdLithiumRefusesCharge(t *testing.T) {
	t.Parallel()
	b := build(t, battery.LiFePO4, 20, 0.5)
	assert.Zero(t, b.Step(time.Minute, 2, -1))
	assert.Positive(t, b.Step(time.Minute, 2, 1))
	assert.Negative(t, b.Step(time.Minute, -2, -1), "discharge is allowed")
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

func TestBooks(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		kind := battery.Chemistry(rapid.IntRange(0, 2).Draw(rt, "kind"))
		start := rapid.Float64Range(0, 1).Draw(rt, "charge")
		b := build(t, kind, 25, quantity.Share(start))
		for range 50 {
			dt := time.Duration(rapid.IntRange(1, 3600).Draw(rt, "seconds")) * time.Second
			offered := quantity.Ampere(rapid.Float64Range(-10, 10).Draw(rt, "amps"))
			got := b.Step(dt, offered, quantity.Celsius(rapid.Float64Range(-20, 40).Draw(rt, "at")))
			require.LessOrEqual(t, float64(got*got), float64(offered*offered)+1e-9)
			require.GreaterOrEqual(t, float64(b.Charge()), -1e-12)
			require.LessOrEqual(t, float64(b.Charge()), 1+1e-12)
			require.Greater(t, float64(b.Volts()), 5.0)
			require.Less(t, float64(b.Volts()), 16.5)
		}
		k := b.Book()
		want := start*25 + float64(k.In-k.Out-k.Lost-k.Faded)
		require.InDelta(t, want, float64(b.Charge())*25, 1e-9)
	})
}

func TestValidate(t *testing.T) {
	t.Parallel()
	p := battery.Typical(battery.AGM, 20)
	p.Capacity, p.Efficiency, p.Absorb = -1, 2, 11
	_, err := battery.New(p, 0.5)
	require.Error(t, err)
	for _, what := range []string{"capacity", "efficiency", "set-points"} {
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
	// Output: 68.2 % left, 12.47 V at the terminals
}
