package bridge_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/bridge"
	"duskloop/sensors/devicemodel"
)

// Every probe on the line is found by the name that it is read by, a device of another
// family is not, and one that is plugged in later is found then.
func TestFindsEveryProbe(t *testing.T) {
	t.Parallel()
	r := newRig(t, 3, 0)
	r.line.Attach(0x1d, serial(9), devicemodel.NewDS18B20()) // a counter's family: no probe
	found, err := r.bus.Find(t.Context())
	require.NoError(t, err)
	assert.Equal(t, []string{name(0), name(1), name(2)}, found)
	r.line.Attach(0x28, serial(7), devicemodel.NewDS18B20())
	found, err = r.bus.Find(t.Context())
	require.NoError(t, err)
	assert.Contains(t, found, name(7))
	got := r.bus.Read(t.Context(), name(7))
	require.NoError(t, got.Err, "it was measured with the search")
	assert.InDelta(t, 10, float64(r.bus.Read(t.Context(), name(0)).Value), 0.01)
	nothing, err := bridge.New(devicemodel.NewI2C(), bridge.Settings{})
	require.NoError(t, err)
	_, err = nothing.Find(t.Context())
	assert.Error(t, err)
}

// A search waits for the measurement that is under way, and gives up with its asker.
func TestSearchWaitsForAMeasurement(t *testing.T) {
	t.Parallel()
	r := newRig(t, 2, time.Minute)
	r.bus.Begin(t.Context())
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Millisecond)
	defer cancel()
	_, err := r.bus.Find(ctx)
	assert.ErrorIs(t, err, context.DeadlineExceeded)
}
