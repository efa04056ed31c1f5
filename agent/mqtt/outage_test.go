package mqtt

import (
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
)

// TestOutageLosesNothing stops a real broker while rows go on being appended,
// and starts it again: no event and no reading is lost, and first arrivals are
// in order.
func TestOutageLosesNothing(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	got := mosquittotest.Subscribe(t, broker.Addr, "duskloop/#")
	rec := newRecord(t)
	f := feed(t, rec, options(broker.Addr))

	var appended atomic.Int64
	stop, done := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(done)
		pace := time.NewTicker(time.Millisecond)
		defer pace.Stop()
		for i := 0; ; i++ {
			select {
			case <-stop:
				return
			case <-pace.C:
			}
			if i%5 == 0 {
				rec.Append(reading(i), alert(i))
			} else {
				rec.Append(reading(i))
			}
			appended.Store(int64(i + 1))
		}
	}()
	grow := func(n int64) {
		from := appended.Load()
		require.Eventually(t, func() bool { return appended.Load() >= from+n }, 20*time.Second, 5*time.Millisecond)
	}

	got.Await("rows before the outage", func(m []mosquittotest.Message) bool { return len(m) > 200 })
	broker.Stop()
	atStop := appended.Load()
	require.Eventually(t, func() bool { return f.Err() != nil }, 5*time.Second, time.Millisecond, "the outage is noticed")
	grow(600)
	atStart := appended.Load()
	broker.Restart()
	require.Eventually(t, func() bool { return f.Err() == nil }, 10*time.Second, time.Millisecond, "connected again")
	grow(200)
	close(stop)
	<-done

	lastReading, lastEvent := rec.Ends()
	var numbers []int64
	var times []time.Time
	require.Eventually(t, func() bool {
		numbers, times = arrivals(t, got, "alert")
		a, _ := firsts(numbers)
		b, _ := firsts(times)
		return len(a) >= int(lastEvent) && len(b) >= int(lastReading)
	}, 30*time.Second, 50*time.Millisecond, "everything arrives")

	events, eventRepeats := firsts(numbers)
	readings, readingRepeats := firsts(times)
	assert.Len(t, events, int(lastEvent), "every event")
	assert.Len(t, readings, int(lastReading), "every reading")
	assert.True(t, slices.IsSorted(events), "events in order of first arrival")
	assert.True(t, slices.IsSortedFunc(readings, time.Time.Compare), "readings in order of first arrival")
	j := newJudge(t)
	for _, m := range got.Messages() {
		j.hold(t, m)
	}
	t.Logf("outage over rows %d to %d: %d of %d events (%d repeats), %d of %d readings (%d repeats)",
		atStop, atStart, len(events), lastEvent, eventRepeats, len(readings), lastReading, readingRepeats)
}
