//go:build !race

package agent

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
)

// viewedSpeed makes the demo tick six times a second, and so send sixty times as much as a
// greenhouse's daemon with its ten seconds.
const viewedSpeed = 60

// punctual notes by how much each decision came late: applied and recorded, against when
// its tick was due.
type punctual struct {
	Clock
	mu   sync.Mutex
	due  time.Time
	late []time.Duration // real time
}

// WaitUntil notes what the loop waits for.
func (p *punctual) WaitUntil(ctx context.Context, t time.Time) error {
	p.mu.Lock()
	p.due = t
	p.mu.Unlock()
	return p.Clock.WaitUntil(ctx, t)
}

// done takes a tick in that is over.
func (p *punctual) done() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.late = append(p.late, time.Duration(float64(p.Now().Sub(p.due))/viewedSpeed))
}

// take hands out what came since, and begins anew.
func (p *punctual) take() []time.Duration {
	p.mu.Lock()
	defer p.mu.Unlock()
	late := p.late
	p.late = nil
	slices.Sort(late)
	return late
}

func percentile(sorted []time.Duration, share float64) time.Duration {
	return sorted[min(len(sorted)-1, int(share*float64(len(sorted))))]
}

// viewed is a demo with its page, in this process.
func viewed(t *testing.T) (base string, p *punctual) {
	t.Helper()
	f := config.Demo()
	f.Page.Listen, f.Broker.Address = "127.0.0.1:0", "none" // messages cost the same with and without viewers
	d := &parts{Options: Options{File: f, Simulated: true, Speed: viewedSpeed, State: t.TempDir(), Log: slog.New(slog.DiscardHandler), Out: io.Discard}}
	d.dir = Folder(d.State, true)
	locked, err := lock(d.dir)
	require.NoError(t, err)
	require.NoError(t, d.open())
	p = &punctual{Clock: d.loop.Clock}
	after := d.loop.After
	d.loop.Clock, d.loop.After = p, func(c Cycle) { after(c); p.done() }
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan struct{})
	go func() { defer close(ended); d.run(ctx) }()
	t.Cleanup(func() { stop(); <-ended; assert.NoError(t, d.close()); _ = locked.Close() })
	return d.page.address(), p
}

// Fifty look at the page and follow it. What they cost the decision is told, beside the
// same daemon without them; when they have gone, its memory is what it was.
func TestFiftyViewers(t *testing.T) {
	base, p := viewed(t)
	wait(t, 2*time.Second)
	crowd := gather(t, base) // caches, pools and pictures as they are once somebody looked
	wait(t, 3*time.Second)
	require.Empty(t, crowd.leave(t).Faults)
	awaitNobody(t, base)
	first := heap()

	p.take()
	wait(t, *viewedFor)
	alone := p.take()
	start := heap() // the demo has lived on; from here on viewers are what differs

	crowd = gather(t, base)
	wait(t, 2*time.Second) // they come in
	p.take()
	wait(t, *viewedFor)
	with := p.take()
	crowded := heap()
	sum := crowd.leave(t)
	awaitNobody(t, base)
	end := heap()

	assert.Empty(t, sum.Faults)
	ticks := len(with)
	assert.GreaterOrEqual(t, sum.Fewest, ticks*9/10, "every viewer saw (nearly) every tick")
	t.Logf("decisions late, 99th percentile: %v with %d viewers (%d ticks, worst %v), %v without (%d ticks, worst %v); goal under 100ms",
		percentile(with, 0.99), viewers, len(with), with[len(with)-1], percentile(alone, 0.99), len(alone), alone[len(alone)-1])
	t.Logf("viewers got %d events, the fewest %d, and %d bytes in %v and what they took to come", sum.Events, sum.Fewest, sum.Bytes, *viewedFor)
	t.Logf("heap after a forced collection: %d kB, after %v without viewers %d kB, with %d looking %d kB, when they had gone %d kB", first>>10, *viewedFor, start>>10, viewers, crowded>>10, end>>10)
	assert.Less(t, float64(end), 1.1*float64(start))
}

// wait lets real time pass: what is measured is what happens in it.
func wait(t *testing.T, d time.Duration) {
	t.Helper()
	select {
	case <-time.After(d):
	case <-t.Context().Done():
		t.Fatal("ended before its time")
	}
}

// heap in use, after a collection that is forced twice: pools give back at the second.
func heap() uint64 {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// awaitNobody waits until no goroutine of the server serves anybody.
func awaitNobody(t *testing.T, base string) {
	t.Helper()
	require.Eventually(t, func() bool {
		stacks := make([]byte, 4<<20)
		stacks = stacks[:runtime.Stack(stacks, true)]
		return !bytes.Contains(stacks, []byte("net/http.(*conn).serve"))
	}, 30*time.Second, 100*time.Millisecond, "all connections of %s closed", base)
}
