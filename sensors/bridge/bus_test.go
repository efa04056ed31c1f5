package bridge_test

import (
	"context"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors"
	"duskloop/sensors/bridge"
	"duskloop/sensors/devicemodel"
	"duskloop/sensors/quantity"
)

// rig is a bridge with probes on a modelled bus.
type rig struct {
	i2c    *devicemodel.I2C
	chip   *devicemodel.DS2482
	line   *devicemodel.OneWire
	probes []*devicemodel.DS18B20
	bus    *bridge.Bus
}

func newRig(t *testing.T, probes int, takes time.Duration) *rig {
	t.Helper()
	r := &rig{i2c: devicemodel.NewI2C(), line: devicemodel.NewOneWire(takes)}
	r.chip = devicemodel.NewDS2482(r.line)
	r.i2c.Attach(0x1a, r.chip)
	for i := range probes {
		p := devicemodel.NewDS18B20()
		p.Set(quantity.Celsius(10 + float64(i)/2))
		r.line.Attach(0x28, serial(i), p)
		r.probes = append(r.probes, p)
	}
	var err error
	r.bus, err = bridge.New(r.i2c, bridge.Settings{Address: 0x1a})
	require.NoError(t, err)
	return r
}

func serial(i int) uint64 { return 0x0000a17c4e00 + uint64(i) }

func name(i int) string { return fmt.Sprintf("28-%012x", serial(i)) }

// measured is one round's reading of a probe.
func (r *rig) measured(ctx context.Context, i int) sensors.Reading {
	r.bus.Begin(ctx)
	return r.bus.Read(ctx, name(i))
}

func TestReadsEveryProbe(t *testing.T) {
	t.Parallel()
	r := newRig(t, 3, 0)
	r.bus.Begin(t.Context())
	for i := range r.probes {
		got := r.bus.Read(t.Context(), name(i))
		require.NoError(t, got.Err)
		assert.Equal(t, sensors.Good, got.Cause)
		assert.Equal(t, quantity.Celsius(10+float64(i)/2), got.Value)
		assert.Equal(t, name(i), got.Probe)
		assert.True(t, got.HasRaw)
		assert.Equal(t, r.probes[i].Scratchpad(), got.Raw)
	}
	r.probes[1].Set(-7.25)
	assert.Equal(t, quantity.Celsius(-7.25), r.measured(t.Context(), 1).Value, "below zero, and anew each round")
}

func TestNothingIsReadBeforeItIsMeasured(t *testing.T) {
	t.Parallel()
	r := newRig(t, 1, time.Minute)
	assert.Equal(t, sensors.NotYet, r.bus.Read(t.Context(), name(0)).Cause)
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Millisecond)
	defer cancel()
	got := r.measured(ctx, 0)
	assert.Equal(t, sensors.TimedOut, got.Cause, "85 °C stands in the probe, and is no measurement")
}

// A real tank at 85 °C is a measurement; a probe that lost its supply in between shows
// 85 °C with the mark of the power-on state, and is not.
func TestEightyFiveDegrees(t *testing.T) {
	t.Parallel()
	r := newRig(t, 2, 0)
	r.probes[0].Set(85)
	r.bus.Begin(t.Context())
	got := r.bus.Read(t.Context(), name(0))
	assert.Equal(t, sensors.Good, got.Cause)
	assert.Equal(t, quantity.Celsius(85), got.Value)
	r.probes[1].PowerCycle()
	got = r.bus.Read(t.Context(), name(1))
	assert.Equal(t, sensors.PowerOn, got.Cause)
	require.Error(t, got.Err)
}

func TestWhatCanBeMissing(t *testing.T) {
	t.Parallel()
	r := newRig(t, 2, 0)
	require.Equal(t, sensors.Good, r.measured(t.Context(), 0).Cause)

	r.line.Detach(serial(0))
	got := r.measured(t.Context(), 0)
	assert.Equal(t, sensors.NothingThere, got.Cause, "one probe off the line")
	require.ErrorIs(t, got.Err, sensors.ErrNothingThere)
	assert.Equal(t, sensors.Good, r.measured(t.Context(), 1).Cause, "the other is not disturbed")

	r.line.Hold(true)
	assert.Equal(t, sensors.StuckLow, r.measured(t.Context(), 1).Cause, "line shorted")
	r.line.Hold(false)
	assert.Equal(t, sensors.Good, r.measured(t.Context(), 1).Cause, "and mended")

	r.line.Detach(serial(1))
	assert.Equal(t, sensors.NothingThere, r.measured(t.Context(), 1).Cause, "an empty line")

	r.i2c.Detach(0x1a)
	got = r.measured(t.Context(), 1)
	assert.Equal(t, sensors.NothingThere, got.Cause, "no bridge: %v", got.Err)
}

// A bridge that lost its supply, or comes late, works from then on.
func TestBridgeComesBack(t *testing.T) {
	t.Parallel()
	r := newRig(t, 1, 0)
	r.i2c.Detach(0x1a)
	require.Equal(t, sensors.NothingThere, r.measured(t.Context(), 0).Cause)
	r.i2c.Attach(0x1a, r.chip)
	require.Equal(t, sensors.Good, r.measured(t.Context(), 0).Cause)
	r.chip.PowerCycle()
	require.NotEqual(t, sensors.Good, r.measured(t.Context(), 0).Cause, "it must be set up anew")
	require.Equal(t, sensors.Good, r.measured(t.Context(), 0).Cause)
}

func TestSettingsAndNames(t *testing.T) {
	t.Parallel()
	_, err := bridge.New(devicemodel.NewI2C(), bridge.Settings{Address: 0x20})
	require.ErrorContains(t, err, "0x18 to 0x1b")
	r := newRig(t, 1, 0)
	r.bus.Begin(t.Context())
	for _, odd := range []string{"", "28-1", "10-0000a17c4e00", "28-0000A17C4E00"} {
		assert.Equal(t, sensors.Failed, r.bus.Read(t.Context(), odd).Cause, odd)
	}
}

// TestTenProbesCostOneConversion measures the wall time of one round.
func TestTenProbesCostOneConversion(t *testing.T) {
	t.Parallel()
	const takes = 600 * time.Millisecond
	r := newRig(t, 10, takes)
	r.measured(t.Context(), 0) // sets the bridge up
	began := time.Now()
	r.bus.Begin(t.Context())
	var all sync.WaitGroup
	for i := range r.probes {
		all.Go(func() { assert.Equal(t, sensors.Good, r.bus.Read(t.Context(), name(i)).Cause) })
	}
	all.Wait()
	t.Logf("ten probes that take %v: %v, %.2f of the 750 ms that the datasheet allows one", takes, time.Since(began).Round(time.Millisecond), time.Since(began).Seconds()/0.75)
}
