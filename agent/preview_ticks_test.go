//go:build !race

package agent

import (
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
)

// ticks are when the loop has ended its ticks, by a real clock.
type ticks struct {
	mu  sync.Mutex
	all []time.Time
}

func (k *ticks) add(Cycle) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.all = append(k.all, time.Now())
}

// longest is the longest time between two that came after a time.
func (k *ticks) longest(after time.Time) (gap time.Duration) {
	k.mu.Lock()
	defer k.mu.Unlock()
	for i := 1; i < len(k.all); i++ {
		if k.all[i].After(after) {
			gap = max(gap, k.all[i].Sub(k.all[i-1]))
		}
	}
	return gap
}

// A loop that ticks ten times a second goes on doing so while nights are lived again: were a
// preview worked out on its goroutine, two ticks would be as far apart as that takes.
func TestPreviewHoldsNoTickUp(t *testing.T) {
	path, _ := livedWeek(t, lumpedFile(t, "large"), 9, nil)
	d := houseWithPast(t, path, func(f *config.File) { f.Page.Listen, f.Broker.Address = "none", "none" })
	const speed = 600 // of a period of a minute
	d.loop.Clock = newFastClock(d.record.Latest().Add(time.Minute), speed)
	var k ticks
	after := d.loop.After
	d.loop.After = func(c Cycle) { after(c); k.add(c) }
	d.started(t)
	require.Eventually(t, func() bool {
		x, err := d.loop.Remembers(t.Context())
		return err == nil && x.stands && x.learned
	}, time.Minute, 50*time.Millisecond)
	alone := time.Now()
	require.Eventually(t, func() bool { return time.Since(alone) > 2*time.Second }, time.Minute, 50*time.Millisecond)
	quiet := k.longest(alone)
	var took []time.Duration
	began := time.Now()
	for range 3 {
		d.looks.before = again{} // all of the work, each time
		asked := time.Now()
		a := d.asked(t, milder)
		require.True(t, a.Accepted, a.Reason)
		require.Len(t, a.Preview.Nights, 7)
		took = append(took, time.Since(asked))
	}
	busy := k.longest(began)
	t.Logf("ticks of 100 ms: at most %v apart without, %v while three previews took %v", quiet.Round(time.Millisecond), busy.Round(time.Millisecond), took)
	assert.Less(t, busy, slices.Min(took)*2/3+100*time.Millisecond)
}
