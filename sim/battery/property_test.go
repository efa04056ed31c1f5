package battery_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/sensors/quantity"
	"duskloop/sim/battery"
)

// Whatever is asked of it: charge within its bounds, no well below nothing, no current
// beyond the one asked for, a voltage that a battery can have, and closed books.
func TestBooks(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		p := battery.Typical(battery.Chemistry(rapid.IntRange(0, 2).Draw(rt, "kind")), 25)
		p.Ready = quantity.Share(rapid.Float64Range(0.05, 0.98).Draw(rt, "ready"))
		p.Exchange = battery.PerHour(rapid.Float64Range(0.05, 5).Draw(rt, "exchange"))
		start := rapid.Float64Range(0, 1).Draw(rt, "charge")
		b, err := battery.New(p, quantity.Share(start))
		require.NoError(t, err)
		all := float64(p.Capacity)
		for range 60 {
			dt := time.Duration(rapid.IntRange(1, 7200).Draw(rt, "seconds")) * time.Second
			offered := quantity.Ampere(rapid.Float64Range(-30, 30).Draw(rt, "amps"))
			got := b.Step(dt, offered, quantity.Celsius(rapid.Float64Range(-30, 45).Draw(rt, "at")))
			require.LessOrEqual(t, float64(got*got), float64(offered*offered)+1e-9)
			require.GreaterOrEqual(t, float64(got*offered), 0.0, "never the other way")
			ready, bound := b.Wells()
			require.GreaterOrEqual(t, float64(ready), -1e-9)
			require.GreaterOrEqual(t, float64(bound), -1e-9)
			require.LessOrEqual(t, float64(ready), float64(p.Ready)*all+1e-9)
			require.LessOrEqual(t, float64(bound), (1-float64(p.Ready))*all+1e-9)
			require.InDelta(t, float64(b.Charge())*all, float64(ready+bound), 1e-9)
			require.Greater(t, float64(b.Volts()), 2.0)
			require.Less(t, float64(b.Volts()), 16.5)
		}
		k := b.Book()
		want := start*all + float64(k.In-k.Out-k.Lost-k.Faded)
		require.InDelta(t, want, float64(b.Charge())*all, 1e-9)
	})
}

// What Available says can be drawn in the next minute is drawn, and no more is.
func TestAvailableIsWhatIsGiven(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		p := battery.Typical(battery.Chemistry(rapid.IntRange(0, 2).Draw(rt, "kind")), 25)
		p.SelfDischarge = 0
		b, err := battery.New(p, quantity.Share(rapid.Float64Range(0, 1).Draw(rt, "charge")))
		require.NoError(t, err)
		at := quantity.Celsius(rapid.Float64Range(-30, 45).Draw(rt, "at"))
		for range 20 {
			b.Step(20*time.Minute, quantity.Ampere(rapid.Float64Range(-12, 6).Draw(rt, "amps")), at)
		}
		left := float64(b.Available(at))
		require.InDelta(t, -60*left, float64(b.Step(time.Minute, -1e5, at)), 1e-6)
	})
}

func TestStepAllocatesNothing(t *testing.T) {
	b, err := battery.New(battery.Typical(battery.AGM, 34), 0.7)
	require.NoError(t, err)
	amps := quantity.Ampere(1)
	require.Zero(t, testing.AllocsPerRun(1000, func() {
		amps = -amps
		b.Step(time.Minute, amps, 12)
	}))
}

func BenchmarkStep(b *testing.B) {
	cell, err := battery.New(battery.Typical(battery.AGM, 34), 0.7)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	amps, at := quantity.Ampere(1), quantity.Celsius(0)
	for b.Loop() {
		amps, at = -amps, 15-at
		cell.Step(time.Minute, amps, at)
		_ = cell.Volts()
		_ = cell.Available(at)
	}
}
