package mqtt

import (
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/record"
)

// traffic appends readings at a pace, and an alert with every fifth.
type traffic struct {
	t          *testing.T
	appended   atomic.Int64
	stop, done chan struct{}
}

func startTraffic(t *testing.T, rec *record.Record, every time.Duration) *traffic {
	tr := &traffic{t: t, stop: make(chan struct{}), done: make(chan struct{})}
	go func() {
		defer close(tr.done)
		pace := time.NewTicker(every)
		defer pace.Stop()
		for i := 0; ; i++ {
			select {
			case <-tr.stop:
				return
			case <-pace.C:
			}
			if i%5 == 0 {
				rec.Append(reading(i), alert(i))
			} else {
				rec.Append(reading(i))
			}
			tr.appended.Store(int64(i + 1))
		}
	}()
	return tr
}

// grow waits until n more readings were appended.
func (tr *traffic) grow(n int64) {
	tr.t.Helper()
	from := tr.appended.Load()
	require.Eventually(tr.t, func() bool { return tr.appended.Load() >= from+n }, time.Minute, time.Millisecond)
}

func (tr *traffic) end() {
	close(tr.stop)
	<-tr.done
}

// nothingLost waits until a collector has every row of the record and holds it against
// order and description. It returns how many rows came twice.
func nothingLost(t *testing.T, got *mosquittotest.Collector, rec *record.Record) (repeats int) {
	t.Helper()
	lastReading, lastEvent := rec.Ends()
	var numbers []int64
	var times []time.Time
	require.Eventually(t, func() bool {
		numbers, times = arrivals(t, got, "alert")
		a, _ := firsts(numbers)
		b, _ := firsts(times)
		return len(a) >= int(lastEvent) && len(b) >= int(lastReading)
	}, 2*time.Minute, 50*time.Millisecond, "everything arrives")
	events, eventRepeats := firsts(numbers)
	readings, readingRepeats := firsts(times)
	assert.Len(t, events, int(lastEvent), "every event")
	assert.Len(t, readings, int(lastReading), "every reading")
	assert.True(t, slices.IsSorted(events), "events in order of first arrival")
	assert.True(t, slices.IsSortedFunc(readings, time.Time.Compare), "readings in order of first arrival")
	j := newJudge(t)
	for _, m := range got.Messages() {
		j.Hold(t, m.Topic, m.Payload)
	}
	t.Logf("%d events and %d readings, every one arrived; %d and %d repeats", lastEvent, lastReading, eventRepeats, readingRepeats)
	return eventRepeats + readingRepeats
}

// TestOutageLosesNothing stops a real broker while rows go on being appended,
// and starts it again: no event and no reading is lost, and first arrivals are
// in order.
func TestOutageLosesNothing(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	got := subscribe(t, broker.Addr, "duskloop/#")
	rec := newRecord(t)
	f := feed(t, rec, options(broker.Addr))
	tr := startTraffic(t, rec, time.Millisecond)

	got.Await("rows before the outage", func(m []mosquittotest.Message) bool { return len(m) > 200 })
	broker.Stop()
	require.Eventually(t, func() bool { return f.Err() != nil }, 5*time.Second, time.Millisecond, "the outage is noticed")
	tr.grow(600)
	broker.Restart()
	require.Eventually(t, func() bool { return f.Err() == nil }, 10*time.Second, time.Millisecond, "connected again")
	tr.grow(200)
	tr.end()
	nothingLost(t, got, rec)
}

// TestTwentyRestarts restarts the broker twenty times amid the readings of an hour and
// more (one every ten seconds), each time while rows are on their way.
func TestTwentyRestarts(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	got := subscribe(t, broker.Addr, "duskloop/#")
	rec := newRecord(t)
	f := feed(t, rec, options(broker.Addr))
	tr := startTraffic(t, rec, 10*time.Millisecond)
	for range 20 {
		tr.grow(18)
		before := f.Delivered()
		require.Eventually(t, func() bool { return f.Delivered() > before }, time.Minute, time.Millisecond, "it sends")
		broker.Stop()
		broker.Restart()
	}
	tr.grow(18)
	tr.end()
	assert.GreaterOrEqual(t, tr.appended.Load(), int64(360), "an hour of readings")
	repeats := nothingLost(t, got, rec)
	assert.Less(t, repeats, 20*2*page, "repeats are of what was on its way")
}
