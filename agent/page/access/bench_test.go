package access

import (
	"runtime"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"golang.org/x/crypto/argon2"
)

// BenchmarkHash is a hashing beside RFC 9106's second option on the same machine, in time
// and in memory, as ratios.
func BenchmarkHash(b *testing.B) {
	measure := func(f func()) (time.Duration, uint64) {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		start := time.Now()
		f()
		took := time.Since(start)
		runtime.ReadMemStats(&after)
		return took, after.TotalAlloc - before.TotalAlloc
	}
	var ours, theirs time.Duration
	var space, their uint64
	for b.Loop() {
		took, n := measure(func() { newHash(right) })
		ours, space = ours+took, space+n
		took, n = measure(func() { argon2.IDKey([]byte(right), []byte("greenhouse-salt!"), 3, 64<<10, 4, 32) })
		theirs, their = theirs+took, their+n
	}
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(ours.Seconds()/theirs.Seconds(), "time/RFC9106-second")
	b.ReportMetric(float64(space)/float64(their), "memory/RFC9106-second")
}

// BenchmarkTicks is how late a goroutine wakes that wants to every 10 ms, while passwords
// are looked at without pause, beside how late it wakes without: the ratio of the 99th
// percentiles, on one core as a small board has. The lateness is also given in ticks.
func BenchmarkTicks(b *testing.B) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	var alone, beside []time.Duration
	for b.Loop() {
		alone = append(alone, lateness(100)...)
		var stop atomic.Bool
		over := make(chan bool)
		go func() {
			for !stop.Load() {
				newHash(right)
			}
			close(over)
		}()
		beside = append(beside, lateness(100)...)
		stop.Store(true)
		<-over
	}
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(p99(beside).Seconds()/p99(alone).Seconds(), "p99-late/alone")
	b.ReportMetric(p99(beside).Seconds()/pace.Seconds(), "p99-late/tick-of-10ms")
	b.ReportMetric(slices.Max(beside).Seconds()/pace.Seconds(), "most-late/tick-of-10ms")
}

const pace = 10 * time.Millisecond

// lateness is by how much each of n wakings came after its time.
func lateness(n int) []time.Duration {
	late := make([]time.Duration, n)
	next := time.Now()
	for i := range late {
		next = next.Add(pace)
		<-time.After(time.Until(next))
		late[i] = time.Since(next)
	}
	return late
}

func p99(all []time.Duration) time.Duration {
	sorted := slices.Sorted(slices.Values(all))
	return sorted[len(sorted)*99/100]
}
