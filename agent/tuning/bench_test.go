package tuning

import (
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sync/errgroup"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/sim/season"
	"duskloop/sim/tune"
	"duskloop/sim/weather"
)

// BenchmarkSets flies sets over seven months at one-minute steps, on one core and on all of
// them, side by side; from what one takes, what 2,000 take.
func BenchmarkSets(b *testing.B) {
	f, err := config.Load("../../testdata/plant-large.toml")
	require.NoError(b, err)
	f.Loop().Carry.Spend = config.ByDifference
	x, err := NewBench(f)
	require.NoError(b, err)
	whole := season.Span{Start: time.Date(2025, 10, 1, 5, 0, 0, 0, time.UTC), Days: 212, Offset: -5 * time.Hour}
	x.Winters(whole, func(weather.Sky) weather.Source { return agent.InventedWeather(f, 1) }, "invented", nil)
	fly := func(cores, sets int) time.Duration {
		var g errgroup.Group
		g.SetLimit(cores)
		begun := time.Now()
		for s := range sets {
			set := set0(x)
			set[0] = 4 + 0.5*float64(s)
			for m := range x.stretches {
				g.Go(func() error { _, err := x.Fly(tune.Ask{Set: set, Stretch: m}); return err })
			}
		}
		require.NoError(b, g.Wait())
		return time.Since(begun)
	}
	const sets = 8
	var one, all time.Duration
	var before, after runtime.MemStats
	for b.Loop() {
		runtime.ReadMemStats(&before)
		one += fly(1, sets)
		runtime.ReadMemStats(&after)
		all += fly(runtime.NumCPU(), sets)
	}
	perSet := one.Seconds() / float64(b.N*sets)
	b.ReportMetric(perSet*2000/60, "min/2000-sets-on-one-core")
	b.ReportMetric(float64(one)/float64(all), "times-as-fast-on-all-cores")
	b.ReportMetric(212.0/365/perSet, "simulated-years/s/core")
	b.ReportMetric(float64(after.Mallocs-before.Mallocs)/(sets*212*24*60), "allocs/step")
}
