package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWatchOnlyWithholds(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name string
		bend func(*rig)
		mode Mode
	}{
		{"carrying", func(r *rig) { r.temp(Tunnel, 6); r.temp(Tank, 40) }, Carrying},
		{"shedding", func(r *rig) { r.temp(Tank, 91) }, Shedding},
		{"guarding", func(r *rig) { r.temp(Coil, -9); r.temp(Tank, 5) }, Guarding},
		{"by hand", func(r *rig) { r.in.Orders = append(r.in.Orders, Order{RunPump, time.Hour}) }, ByHand},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := settledRig()
			r.in.Orders = []Order{{WatchOnly, time.Hour}}
			row.bend(r)
			changes := r.step(1)
			require.Equal(t, row.mode, r.d.Mode)
			assert.Positive(t, r.d.Wanted.Pump)
			assert.Zero(t, r.d.Outputs.Pump)
			assert.Zero(t, r.d.Outputs.Fans)
			assert.Contains(t, textOf(changes, AlertWatching), "Now it would be "+row.mode.String())
			assert.Contains(t, r.d.Explain(0), "watch only")
			if row.mode == Shedding {
				assert.False(t, r.d.Outputs.Closed)
				assert.True(t, r.d.Outputs.Buzzer)
				assert.Contains(t, textOf(changes, AlertTankDanger), "NOT being shed: watch only")
			}
		})
	}
}

// What was only wished while watching has neither run nor rested.
func TestAfterWatching(t *testing.T) {
	t.Parallel()
	r := carrying(t)
	r.in.Orders = []Order{{WatchOnly, time.Minute}}
	r.step(1)
	require.Zero(t, r.d.Outputs.Pump)
	r.step(6)
	require.False(t, r.d.Facts.Watching)
	assert.Equal(t, MinimumRest, r.d.Reason, "it has rested for a minute")
	r.run(3 * time.Minute)
	assert.Equal(t, Carrying, r.d.Mode)

	r = settledRig()
	r.in.Orders = []Order{{WatchOnly, time.Hour}}
	r.temp(Tunnel, 6)
	r.temp(Tank, 40)
	r.temp(Coil, 6)
	r.run(30 * time.Minute)
	r.in.Orders = []Order{{EndByHand, 0}}
	r.step(1)
	require.Positive(t, r.d.Outputs.Pump)
	r.run(80 * time.Second)
	assert.Equal(t, LoopWaits, r.d.Reason, "and its real start is judged")
}
