package agent

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sim/plant"
)

// BenchmarkClosedLoop prints one closed-loop step (plant, weather, probe errors,
// judge, decision) and, measured in the same run, a bare explicit step over as
// many states; the ratio is the figure to look at.
func BenchmarkClosedLoop(b *testing.B) {
	file := config.Demo()
	g, err := NewGreenhouse(file, winterDusk, plant.Dusk(), 1)
	require.NoError(b, err)
	settings, err := file.Settings()
	require.NoError(b, err)
	beliefs, st, now := newBeliefs(file), control.NewState(), winterDusk
	const period = 10 * time.Second
	steps := 0
	began := time.Now()
	for b.Loop() {
		now = now.Add(period)
		in := beliefs.inputs(g.Look(now), now)
		in.Elapsed, in.ClockTrusted = period, true
		var d control.Decision
		st, d = control.Step(&settings, st, in)
		if err := g.Apply(d.Outputs); err != nil {
			b.Fatal(err)
		}
		steps++
	}
	perStep := float64(time.Since(began)) / float64(steps)
	bare := bareStep(steps)
	b.ReportMetric(perStep, "ns/closed-loop-step")
	b.ReportMetric(bare, "ns/bare-step")
	b.ReportMetric(perStep/bare, "ratio")
}

// bareStep is the time of one explicit step of six temperatures and a charge
// with sources, coil and conductances already at hand.
func bareStep(n int) float64 {
	t := [6]float64{60, 12, 12, 10, 12, 5}
	g := [6]float64{0.4, 3, 3, 20, 9, 100}
	c := [6]float64{85e3, 2e3, 2e3, 14e3, 330e3, 260e3}
	charge := 30.0
	began := time.Now()
	for i := range n {
		source := float64(i&7) * 40
		prev := t
		for k := range t {
			next := prev[(k+1)%6]
			t[k] += 10 / c[k] * (source - g[k]*(prev[k]-next))
			source = g[k] * (prev[k] - next)
		}
		charge -= 0.5 * 10 / 3600
	}
	elapsed := float64(time.Since(began)) / float64(n)
	sink = t[0] + charge
	return elapsed
}

// sink keeps the compiler from dropping the bare loop.
var sink float64
