package agent

import (
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
)

// slowest is by how much a core of the slowest board meant is taken to be slower than a
// desk's: tonight.go says by what. No board was at hand.
const slowest = 100

// A preview of seven nights, each lived twice, with tonight's outlook. The goal is a second;
// nothing is held to it here, since machines differ. Built for the boards by
// GOARCH=arm GOARM=6 go test -c ./agent, it runs in an emulator too (qemu-arm, in this folder).
func BenchmarkPreviewOfSevenNights(b *testing.B) {
	path, _ := livedWeek(b, lumpedFile(b, "large"), 9, nil)
	d := houseWithPast(b, path, func(f *config.File) { f.Page.Listen, f.Broker.Address = "none", "none" })
	d.running(b)
	nights := 0
	for b.Loop() {
		a, err := d.loop.Submit(b.Context(), []byte(milder), "bench")
		require.NoError(b, err)
		require.True(b, a.Accepted, a.Reason)
		nights = len(a.Preview.Nights)
	}
	each := b.Elapsed() / time.Duration(b.N)
	b.ReportMetric(float64(nights), "nights")
	b.Logf("%d nights lived twice and tonight: %v here, for %s", nights, each.Round(time.Millisecond), runtime.GOARCH)
	if runtime.GOARCH != "arm" { // an emulator's time is no board's
		b.Logf("%v on a core taken to be %d times slower", (slowest * each).Round(time.Second), slowest)
	}
}
