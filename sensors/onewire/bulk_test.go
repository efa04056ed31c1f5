package onewire_test

import (
	"context"
	"io/fs"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors"
	"duskloop/sensors/onewire"
	"duskloop/sensors/quantity"
)

// readAll begins a round and reads n probes of a master at once, as the Poller
// does. It returns the readings and how long the slowest took.
func readAll(ctx context.Context, bus *onewire.Bus, master, n int) ([]sensors.Reading, time.Duration) {
	began := time.Now()
	bus.Begin(ctx)
	readings := make([]sensors.Reading, n)
	var wg sync.WaitGroup
	for i := range n {
		wg.Go(func() { readings[i] = bus.Read(ctx, serialOf(master, i)) })
	}
	wg.Wait()
	return readings, time.Since(began)
}

func allGood(t *testing.T, readings []sensors.Reading) {
	t.Helper()
	for _, r := range readings {
		assert.Equal(t, sensors.Good, r.Cause, "%s: %v", r.Probe, r.Err)
		assert.Equal(t, quantity.Celsius(20), r.Value, r.Probe)
	}
}

// TestTenProbesCostOneConversion: one conversion as the kernel waits for it, one
// scratchpad after another, and nothing of ours. Beyond five probes the scratchpads
// alone are more than a tenth of 750 ms: no driver above the kernel can change that.
func TestTenProbesCostOneConversion(t *testing.T) {
	rows := []struct {
		name                 string
		probes               int
		wait, takes, reading time.Duration
		tenth                bool // ends within 1.1 of the conversion the datasheet allows
	}{
		{"five", 5, converts, converts, slot, true},
		{"ten", 10, converts, converts, slot, false},
		{"ten, slow clock", 10, converts, converts, slot - reset + lazy, false},
		// 600 ms: C. Petrich, github.com/cpetrich/counterfeit_DS18B20, family A, 590
		// to 610 ms. A fifth more: w1_therm.c, conv_time_measure.
		{"ten, time measured by the kernel", 10, 720 * time.Millisecond, 600 * time.Millisecond, slot, false},
		{"ten of 11 bit", 10, converts / 2, converts / 2, slot, true},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				k := newKernel(row.probes)
				l := k.masters["w1_bus_master1"]
				l.wait, l.takes, l.reading = row.wait, row.takes, row.reading
				readings, took := readAll(t.Context(), onewire.New(k), 0, row.probes)
				allGood(t, readings)
				wire := begin + time.Duration(row.probes)*row.reading
				ours := took - row.wait - wire
				t.Logf("%d probes in %v: %.2f of 750 ms; %.0f ms the kernel's wait, %.0f ms the wire, %v ours",
					row.probes, took, took.Seconds()/converts.Seconds(), 1e3*row.wait.Seconds(), 1e3*wire.Seconds(), ours)
				assert.Less(t, ours.Abs(), time.Millisecond, "conv_time is in whole milliseconds")
				assert.Equal(t, row.tenth, took <= converts*11/10)
			})
		})
	}
}

// TestTenProbesOnTwoLines: five and five end within 1.1 conversions, although the kernel
// offers the bulk conversion on the first line only.
func TestTenProbesOnTwoLines(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := newKernel(5)
		k.add("w1_bus_master2", 5).bulk = false
		bus := onewire.New(k)
		began := time.Now()
		bus.Begin(t.Context())
		readings := make([]sensors.Reading, 10)
		var wg sync.WaitGroup
		for i := range readings {
			wg.Go(func() { readings[i] = bus.Read(t.Context(), serialOf(i/5, i%5)) })
		}
		wg.Wait()
		took := time.Since(began)
		allGood(t, readings)
		t.Logf("ten probes on two lines in %v: %.2f of 750 ms", took, took.Seconds()/converts.Seconds())
		assert.LessOrEqual(t, took, converts*11/10)
	})
}

// TestWithoutBulk: each read converts by itself, and they overlap because the
// kernel lets go of the bus meanwhile.
func TestWithoutBulk(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := newKernel(10)
		k.masters["w1_bus_master1"].bulk = false
		readings, took := readAll(t.Context(), onewire.New(k), 0, 10)
		allGood(t, readings)
		assert.Less(t, took, 2*converts)
	})
}

// TestTriggerNotAllowed: the daemon may not write therm_bulk_read. Reads work
// all the same, and the refusal is told.
func TestTriggerNotAllowed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := newKernel(3)
		k.masters["w1_bus_master1"].refuse = fs.ErrPermission
		bus := onewire.New(k)
		readings, _ := readAll(t.Context(), bus, 0, 3)
		allGood(t, readings)
		masters, err := bus.Masters()
		require.NoError(t, err)
		require.Len(t, masters, 1)
		assert.ErrorIs(t, masters[0].Err, fs.ErrPermission)
		assert.ErrorContains(t, masters[0].Err, "w1_bus_master1")
	})
}

// TestTriggerCutShort: a signal ends the kernel's sleep after 10 ms and says
// nothing. Read at once, the chips would still hold their power-on value.
func TestTriggerCutShort(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := newKernel(3)
		k.masters["w1_bus_master1"].cut = converts - 10*time.Millisecond
		readings, took := readAll(t.Context(), onewire.New(k), 0, 3)
		allGood(t, readings)
		assert.GreaterOrEqual(t, took, converts)
	})
}

// TestEveryRoundMeasuresAnew: the second round gives the second temperature.
func TestEveryRoundMeasuresAnew(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := newKernel(2)
		bus := onewire.New(k)
		readAll(t.Context(), bus, 0, 2)
		k.masters["w1_bus_master1"].probes[serialOf(0, 0)].chip.Set(33.5)
		readings, took := readAll(t.Context(), bus, 0, 2)
		assert.Equal(t, quantity.Celsius(33.5), readings[0].Value)
		assert.Equal(t, quantity.Celsius(20), readings[1].Value)
		assert.LessOrEqual(t, took, begin+converts+2*slot)
		assert.Equal(t, 2, k.readOf(serialOf(0, 0)), "one read a round: a second would convert again")
	})
}

// TestWedgedMaster: a master whose conversion never comes back holds up its own
// probes until their deadline and no others; it is not asked again meanwhile.
func TestWedgedMaster(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := newKernel(2)
		stuck := k.add("w1_bus_master2", 1)
		stuck.wedged = make(chan struct{})
		bus := onewire.New(k)
		for range 2 {
			ctx, cancel := context.WithTimeout(t.Context(), 5*time.Second)
			readings, took := readAll(ctx, bus, 0, 2)
			allGood(t, readings)
			assert.LessOrEqual(t, took, begin+converts+2*slot)
			lost := bus.Read(ctx, serialOf(1, 0))
			assert.Equal(t, sensors.TimedOut, lost.Cause)
			assert.ErrorIs(t, lost.Err, context.DeadlineExceeded)
			cancel()
		}
		assert.EqualValues(t, 1, stuck.tries.Load(), "a wedged master is left alone")
		close(stuck.wedged)
		synctest.Wait()
		time.Sleep(2 * converts) // synctest clock: no real wait
		readings, _ := readAll(t.Context(), bus, 1, 1)
		allGood(t, readings)
	})
}

// TestPolledDeadProbe runs the driver under the Poller: a probe that stays
// silent for seconds costs its own reading only.
func TestPolledDeadProbe(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := newKernel(3)
		k.masters["w1_bus_master1"].probes[serialOf(0, 1)].dead = true
		names := []string{serialOf(0, 0), serialOf(0, 1), serialOf(0, 2)}
		p := sensors.NewPoller(sensors.Wiring{Buses: []sensors.Wired{{Bus: onewire.New(k), Probes: names}}},
			10*time.Second, 8*time.Second)
		ctx, cancel := context.WithCancel(t.Context())
		go p.Run(ctx)
		time.Sleep(5 * time.Second) // synctest clock: no real wait
		assert.Equal(t, sensors.Good, p.Latest(names[0]).Cause)
		assert.Equal(t, sensors.Empty, p.Latest(names[1]).Cause)
		assert.Equal(t, sensors.Good, p.Latest(names[2]).Cause)
		cancel()
	})
}
