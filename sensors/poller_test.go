package sensors_test

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"

	"duskloop/sensors"
)

// bench is a bus whose probes answer after a time of their own. One whose
// answer is a channel waits for that channel instead.
type bench struct {
	after  map[string]time.Duration
	wedged map[string]chan struct{}
	begun  int
}

var (
	_ sensors.Bus   = (*bench)(nil)
	_ sensors.Meter = meter{}
)

func (b *bench) Begin(context.Context) { b.begun++ }

func (b *bench) Read(_ context.Context, probe string) sensors.Reading {
	if gate, ok := b.wedged[probe]; ok {
		<-gate
	}
	time.Sleep(b.after[probe]) // synctest clock: no real wait
	return sensors.Reading{Probe: probe, Value: 20, At: time.Now(), Took: b.after[probe], Cause: sensors.Good}
}

// meter answers after a time.
type meter struct{ after time.Duration }

func (m meter) Read(context.Context) sensors.Power {
	time.Sleep(m.after) // synctest clock: no real wait
	return sensors.Power{Volts: 12.6, At: time.Now(), Cause: sensors.Good}
}

// polled starts a Poller on one bus with a 10 s period and a 5 s deadline. stop
// ends it and waits for everything in the bubble.
func polled(t *testing.T, b *bench, m sensors.Meter, probes ...string) (p *sensors.Poller, stop func()) {
	t.Helper()
	p = sensors.NewPoller(sensors.Wiring{Buses: []sensors.Wired{{Bus: b, Probes: probes}}, Meter: m},
		10*time.Second, 5*time.Second)
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() {
		defer close(done)
		p.Run(ctx)
	}()
	return p, func() {
		cancel()
		<-done
	}
}

func TestPollerKeepsTheLatest(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := &bench{after: map[string]time.Duration{"tank": time.Second}}
		p, stop := polled(t, b, meter{time.Second}, "tank")
		defer stop()
		assert.Equal(t, sensors.NotYet, p.Latest("tank").Cause)
		assert.Equal(t, sensors.NotYet, p.Latest("nobody").Cause)
		assert.Equal(t, sensors.NotYet, p.Power().Cause)
		time.Sleep(2 * time.Second) // synctest clock: no real wait
		first := p.Latest("tank")
		assert.Equal(t, sensors.Good, first.Cause)
		assert.Equal(t, time.Second, time.Since(first.At))
		assert.Equal(t, sensors.Good, p.Power().Cause)
		time.Sleep(10 * time.Second) // synctest clock: no real wait
		assert.Equal(t, 10*time.Second, p.Latest("tank").At.Sub(first.At))
		assert.Equal(t, 2, b.begun)
	})
}

// TestPollerSlowProbe: four seconds of silence cost the others nothing.
func TestPollerSlowProbe(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := &bench{after: map[string]time.Duration{"tank": 10 * time.Millisecond, "coil": 4 * time.Second}}
		p, stop := polled(t, b, nil, "coil", "tank")
		defer stop()
		time.Sleep(20 * time.Millisecond) // synctest clock: no real wait
		assert.Equal(t, sensors.Good, p.Latest("tank").Cause)
		assert.Equal(t, sensors.NotYet, p.Latest("coil").Cause)
		time.Sleep(4 * time.Second) // synctest clock: no real wait
		assert.Equal(t, sensors.Good, p.Latest("coil").Cause)
	})
}

// TestPollerWedgedRead: a read that never returns is told at its deadline and
// again each round, is not asked twice, and is welcome when it comes back.
func TestPollerWedgedRead(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		gate := make(chan struct{})
		b := &bench{
			after:  map[string]time.Duration{"tank": time.Second},
			wedged: map[string]chan struct{}{"coil": gate},
		}
		p, stop := polled(t, b, meter{time.Second}, "coil", "tank")
		time.Sleep(4 * time.Second) // synctest clock: no real wait
		assert.Equal(t, sensors.NotYet, p.Latest("coil").Cause, "not late yet")
		time.Sleep(2 * time.Second) // synctest clock: no real wait
		late := p.Latest("coil")
		assert.Equal(t, sensors.TimedOut, late.Cause)
		assert.Equal(t, 5*time.Second, late.Took)
		assert.ErrorContains(t, late.Err, "reading probe coil: no answer after 5s")
		time.Sleep(time.Hour) // synctest clock: no real wait
		assert.Equal(t, sensors.TimedOut, p.Latest("coil").Cause)
		assert.Greater(t, p.Latest("coil").Took, 59*time.Minute)
		assert.Equal(t, sensors.Good, p.Latest("tank").Cause)
		assert.Less(t, time.Since(p.Latest("tank").At), 11*time.Second, "the others go on")
		assert.Less(t, time.Since(p.Power().At), 11*time.Second, "so does the meter")
		close(gate)
		synctest.Wait()
		assert.Equal(t, sensors.Good, p.Latest("coil").Cause)
		stop()
	})
}

// TestPollerStopsWithAReadOut: shutting down does not wait for the hardware.
func TestPollerStopsWithAReadOut(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		gate := make(chan struct{})
		b := &bench{wedged: map[string]chan struct{}{"coil": gate}}
		_, stop := polled(t, b, nil, "coil")
		time.Sleep(time.Second) // synctest clock: no real wait
		began := time.Now()
		stop()
		assert.Zero(t, time.Since(began))
		close(gate)
	})
}

// TestPollerWedgedMeter: the meter's deadline is its own.
func TestPollerWedgedMeter(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := &bench{after: map[string]time.Duration{"tank": time.Second}}
		p, stop := polled(t, b, meter{time.Minute}, "tank")
		time.Sleep(6 * time.Second) // synctest clock: no real wait
		assert.Equal(t, sensors.TimedOut, p.Power().Cause)
		assert.ErrorContains(t, p.Power().Err, "battery meter")
		assert.Equal(t, sensors.Good, p.Latest("tank").Cause)
		stop()
		time.Sleep(time.Minute) // the meter's read comes back
	})
}
