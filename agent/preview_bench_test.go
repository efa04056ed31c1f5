package agent

import (
	"runtime"
	"syscall"
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
	nights, before := 0, worked(b)
	for b.Loop() {
		d.looks.before = again{} // nobody asked before
		a, err := d.loop.Submit(b.Context(), []byte(milder), "bench")
		require.NoError(b, err)
		require.True(b, a.Accepted, a.Reason)
		nights = len(a.Preview.Nights)
	}
	each, own := b.Elapsed()/time.Duration(b.N), (worked(b)-before)/time.Duration(b.N)
	b.ReportMetric(own.Seconds()*1000, "cpu-ms/op")
	b.Logf("%d nights lived twice and tonight: %v here on %d cores, %v of one core's work, for %s", nights, each.Round(time.Millisecond), runtime.NumCPU(), own.Round(time.Millisecond), runtime.GOARCH)
	if runtime.GOARCH != "arm" { // an emulator's time is no board's
		b.Logf("on one core taken to be %d times slower: %v", slowest, (slowest * own).Round(time.Second))
	}
}

// worked is what the processor has done for this process so far.
func worked(b *testing.B) time.Duration {
	b.Helper()
	var u syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
