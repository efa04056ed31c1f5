package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// passage is a day's inputs, one a minute: the tank swings between cool and
// hot, the tunnel between frost and warmth, the loop moves.
func passage() []Inputs {
	ins := make([]Inputs, 24*60)
	r := newRig()
	for i := range ins {
		part := float64(i) / float64(len(ins))
		r.temp(Tank, quantity.Celsius(15+70*part))
		r.temp(Tunnel, quantity.Celsius(2+12*part))
		r.temp(Coil, quantity.Celsius(14+68*part))
		ins[i] = r.in
		ins[i].Elapsed = time.Minute
	}
	return ins
}

// BenchmarkStep prints a decision's time beside a bare loop that copies the
// same inputs and state, which is what any decision must do, in one run.
func BenchmarkStep(b *testing.B) {
	s, ins := bench(), passage()
	st := NewState()
	var d Decision
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		st, d = Step(&s, st, ins[i])
		if i++; i == len(ins) {
			i = 0
		}
	}
	step := float64(b.Elapsed()) / float64(b.N)
	bare := bareLoop(ins, b.N)
	b.ReportMetric(bare, "ns/bare")
	b.ReportMetric(step/bare, "times-bare")
	require.Less(b, d.Mode, modes)
}

// bareLoop moves the same states and inputs without deciding.
func bareLoop(ins []Inputs, n int) float64 {
	st, i := NewState(), 0
	start := time.Now()
	for range n {
		st = bareStep(st, ins[i])
		if i++; i == len(ins) {
			i = 0
		}
	}
	return max(float64(time.Since(start))/float64(n), 0.01)
}

//go:noinline
func bareStep(st State, in Inputs) State {
	st.Up += in.Elapsed
	return st
}

// A step that changes no alert allocates nothing.
func TestStepAllocatesNothing(t *testing.T) {
	for name, bend := range map[string]func(*rig){
		"resting":  func(*rig) {},
		"carrying": func(r *rig) { r.temp(Tunnel, 6); r.temp(Tank, 40); r.temp(Coil, 30) },
		"shedding": func(r *rig) { r.temp(Tank, 84); r.temp(Coil, 80) },
		"unknown":  func(r *rig) { r.lose(Tank, time.Hour); r.in.Meter.Age = time.Hour },
	} {
		t.Run(name, func(t *testing.T) {
			r := settledRig()
			r.s.Proof.PumpCurrent, r.s.Proof.Difference = 0, 500
			bend(r)
			r.run(12 * time.Minute) // alerts have been raised
			r.in.Elapsed = time.Millisecond
			require.Empty(t, r.step(1))
			require.Zero(t, testing.AllocsPerRun(200, func() { r.st, r.d = Step(&r.s, r.st, r.in) }))
		})
	}
}
