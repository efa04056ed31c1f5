//go:build !race

package mqtt

import (
	"bytes"
	"runtime"
	"strconv"
	"sync/atomic"
	"testing"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
)

// heap is what is in use after a collection, in bytes.
func heap() int64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}

// tally is a subscriber to readings that counts and does not keep them: what it kept
// would show as the feed's memory.
type tally struct{ came, disordered, last, cut atomic.Int64 }

func count(t *testing.T, addr string) *tally {
	t.Helper()
	c := new(tally)
	client := paho.NewClient(paho.NewClientOptions().AddBroker("tcp://" + addr).SetClientID("tally").SetProtocolVersion(4).
		SetConnectionLostHandler(func(_ paho.Client, err error) { c.cut.Add(1); t.Log("the tally was cut off: ", err) }))
	for _, step := range []func() paho.Token{client.Connect, func() paho.Token { return client.Subscribe("duskloop/bench/readings", 1, c.take) }} {
		token := step()
		require.True(t, token.WaitTimeout(10*time.Second))
		require.NoError(t, token.Error())
	}
	t.Cleanup(func() {
		client.Disconnect(100)
		t.Logf("the tally has %d readings, %d of them out of order, the last %d; cut off %d times", c.came.Load(), c.disordered.Load(), c.last.Load(), c.cut.Load())
	})
	return c
}

// take counts a reading, and one whose base time is not later than the last's.
func (c *tally) take(_ paho.Client, m paho.Message) {
	_, rest, _ := bytes.Cut(m.Payload(), []byte(`"bt":`))
	figure, _, _ := bytes.Cut(rest, []byte(","))
	at, err := strconv.ParseFloat(string(figure), 64)
	if err != nil || int64(at) <= c.last.Load() {
		c.disordered.Add(1)
	}
	c.last.Store(int64(at))
	c.came.Add(1)
}

// TestAlertsPassALongBacklog drains 100,000 readings and raises an alert now and then:
// it goes out before the next page of readings, nothing is lost, and memory does not
// grow with the backlog. Not parallel: other tests would use memory too. Under the race
// detector it takes three minutes, so the check runs it without, in a step of its own.
func TestAlertsPassALongBacklog(t *testing.T) {
	const backlog, alerts = 100_000, 5
	broker := mosquittotest.Start(t)
	got, readings := subscribe(t, broker.Addr, "duskloop/bench/alert"), count(t, broker.Addr)
	rec := newRecord(t)
	for i := range backlog {
		rec.Append(reading(i))
		if i%1000 == 0 { // a record whose disk lags drops what it cannot hold
			require.Eventually(t, func() bool { return rec.Committed() >= int64(i-2000) }, time.Minute, time.Millisecond)
		}
	}
	require.Zero(t, rec.Dropped())
	require.Eventually(t, func() bool { return rec.Committed() >= backlog-1000 }, time.Minute, 10*time.Millisecond, "on the disk")
	before := heap()
	o := options(broker.Addr)
	o.Backlog = backlog
	began := time.Now()
	f := feed(t, rec, o)
	most, overtaken := int64(0), int64(0)
	for n := 1; n <= alerts; n++ {
		at := int64(backlog / (alerts + 1) * n)
		require.Eventually(t, func() bool { return f.cursors.readings.Load() >= at }, 2*time.Minute, time.Millisecond)
		from := f.cursors.readings.Load()
		rec.Append(nil, alert(n))
		got.AwaitOn("duskloop/bench/alert", n)
		overtaken = max(overtaken, f.cursors.readings.Load()-from)
		most = max(most, heap()-before)
	}
	require.Less(t, f.cursors.readings.Load(), int64(backlog), "amid the backlog")
	require.Eventually(t, func() bool { return f.cursors.left(rec) == 0 }, 2*time.Minute, 10*time.Millisecond)
	drained := time.Since(began)
	require.Eventually(t, func() bool { return readings.came.Load() >= backlog }, time.Minute, 10*time.Millisecond, "passed on")
	assert.EqualValues(t, backlog, readings.came.Load(), "each once, the connection having held")
	assert.Zero(t, readings.disordered.Load(), "in order")
	assert.Len(t, got.On("duskloop/bench/alert"), alerts, "none lost, none twice")
	// The page and the window on their way when it was raised, and what follows until
	// the test looks.
	assert.Less(t, overtaken, int64(backlog/100))
	assert.Less(t, most, int64(8<<20), "bytes of memory")
	t.Logf("%d readings in %v; an alert waited for at most %d of them; %.1f MB of memory more at most",
		backlog, drained.Round(100*time.Millisecond), overtaken, float64(most)/1e6)
}
