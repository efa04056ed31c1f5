package main

import (
	"bytes"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// BenchmarkSize is a worksheet of twelve changes and four sets of them over a winter of
// seven months, on one core and on all, side by side: seconds of each, and how many times
// as fast all are.
func BenchmarkSize(b *testing.B) {
	path := plantFile("large")
	c := &sizeCommand{Policy: "floor", Warm: "60 °C", Seed: 1}
	c.Greenhouse = &path
	s := &session{Context: b.Context(), out: new(bytes.Buffer), err: new(bytes.Buffer)}
	f, err := c.orDemo()
	require.NoError(b, err)
	x, _, err := c.sketch(s, f)
	require.NoError(b, err)
	all := runtime.GOMAXPROCS(0)
	took := func(cores int) float64 {
		runtime.GOMAXPROCS(cores)
		defer runtime.GOMAXPROCS(all)
		began := time.Now()
		w, err := work(s, x)
		require.NoError(b, err)
		require.GreaterOrEqual(b, len(w.Levers), 12)
		return time.Since(began).Seconds()
	}
	var one, many float64
	for b.Loop() {
		one += took(1)
		many += took(all)
	}
	b.ReportMetric(one/float64(b.N), "s-one-core")
	b.ReportMetric(many/float64(b.N), "s-all-cores")
	b.ReportMetric(float64(all), "cores")
	b.ReportMetric(one/many, "times-as-fast")
}
