package control

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stored is st as it comes back from the record.
func stored(t require.TestingT, st State) State {
	text, err := json.Marshal(st)
	require.NoError(t, err)
	var back State
	require.NoError(t, json.Unmarshal(text, &back))
	require.Equal(t, st, back)
	return back
}

func TestOrdersEndByThemselves(t *testing.T) {
	t.Parallel()
	rows := []struct {
		kind  OrderKind
		going func(*rig) bool
	}{
		{RunPump, func(r *rig) bool { return r.d.Mode == ByHand && r.d.Outputs.Pump > 0 }},
		{RunFans, func(r *rig) bool { return r.d.Mode == ByHand && r.d.Outputs.Fans > 0 }},
		{HoldOff, func(r *rig) bool { return r.d.Mode == Held && r.active(AlertHeld) }},
		{WatchOnly, func(r *rig) bool { return r.d.Facts.Watching && r.active(AlertWatching) }},
	}
	for _, row := range rows {
		t.Run(row.kind.String(), func(t *testing.T) {
			t.Parallel()
			begin := func() *rig {
				r := settledRig()
				r.s.Proof.PumpCurrent = 0
				r.temp(Coil, 19)
				r.in.Orders = []Order{{row.kind, 10 * time.Minute}}
				r.step(1)
				require.True(t, row.going(r), r.d.Reason.String())
				return r
			}
			r := begin()
			r.run(9*time.Minute + 50*time.Second)
			require.True(t, row.going(r))
			r.step(1)
			assert.False(t, row.going(r), "after ten minutes")

			r = begin()
			r.st = stored(t, r.st).Restarted(4*time.Minute, true)
			r.st.Fans.For = time.Hour
			r.run(time.Minute)
			assert.True(t, row.going(r), "after a restart, six minutes left: %v", r.d.Reason)
			r.run(5 * time.Minute)
			assert.False(t, row.going(r))

			r = begin()
			r.st = stored(t, r.st).Restarted(time.Hour, false)
			r.run(9 * time.Minute)
			assert.True(t, row.going(r), "the clock could not tell: what was left is kept")

			r = begin()
			r.in.Elapsed = time.Hour
			r.step(1)
			assert.False(t, row.going(r), "a step of an hour ends it too")

			r = begin()
			r.in.Elapsed = tick
			r.in.Orders = []Order{{EndByHand, 0}}
			r.step(1)
			assert.False(t, row.going(r), "ended by order")
		})
	}
}

func TestTimedRunStaysBelowSafety(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name   string
		bend   func(*rig)
		reason Reason
		pump   bool
	}{
		{"cut off", func(r *rig) { r.st.Battery.CutOff = true; r.volts(11) }, BatteryCutOff, false},
		{"blind", func(r *rig) { r.in.Meter.Age = time.Hour }, BatteryBlind, false},
		{"level low", func(r *rig) { r.in.Level = LevelLow }, LevelIsLow, false},
		{"slush", func(r *rig) { r.temp(Coil, -12) }, LoopSlush, false},
		{"loop halted", func(r *rig) { r.st.Flow.Halted = true }, LoopHalted, false},
		{"hot, tunnel above maximum", func(r *rig) { r.temp(Tank, 83); r.temp(Tunnel, 31) }, TankHotWaits, false},
		{"frost", func(r *rig) { r.temp(Coil, -9) }, FrostGuard, true},
		{"reserve", func(r *rig) { r.st.Battery.Sparing = true; r.st.Charge.Share = 0.4 }, BatteryReserve, false},
		{"held", func(r *rig) { r.in.Orders = append(r.in.Orders, Order{HoldOff, time.Hour}) }, HoldByHand, false},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := settledRig()
			r.in.Orders = []Order{{RunPump, time.Hour}, {RunFans, time.Hour}}
			row.bend(r)
			r.step(1)
			assert.Equal(t, row.reason.String(), r.d.Reason.String())
			assert.Equal(t, row.pump, r.d.Outputs.Pump > 0)
			assert.Zero(t, r.d.Outputs.Fans)
		})
	}
}

// Running the fans by hand adds to comfort and stops nothing.
func TestFansByHandLeaveThePump(t *testing.T) {
	t.Parallel()
	r := carrying(t)
	r.in.Orders = []Order{{RunFans, 10 * time.Minute}}
	r.step(1)
	assert.Positive(t, r.d.Outputs.Pump)
	assert.Positive(t, r.d.Outputs.Fans)
	r.in.Orders = []Order{{RunPump, 10 * time.Minute}}
	r.step(1)
	assert.Equal(t, ByHand, r.d.Mode)
	assert.Positive(t, r.d.Outputs.Fans, "heat is still carried")
	r.temp(Tank, 8)
	r.in.Orders = []Order{{RunPump, 0}}
	r.run(3 * time.Minute)
	assert.Zero(t, r.d.Outputs.Pump)
	assert.Equal(t, ByHand, r.d.Mode, "the fans' time is not over")
	assert.Positive(t, r.d.Outputs.Fans)
}

func TestHoldIsLoudAndContactorStillOpens(t *testing.T) {
	t.Parallel()
	r := carrying(t)
	r.in.Orders = []Order{{HoldOff, 2 * time.Hour}}
	changes := r.step(1)
	require.True(t, raised(changes, AlertHeld))
	assert.Contains(t, textOf(changes, AlertHeld), "no shedding, no frost guard")
	assert.True(t, r.d.Outputs.Buzzer)
	assert.True(t, r.d.Outputs.Closed)
	chirps := 0
	for range 359 {
		r.step(1)
		if r.d.Outputs.Buzzer {
			chirps++
		}
		require.Equal(t, Outputs{Closed: true, Buzzer: r.d.Outputs.Buzzer}, r.d.Outputs)
	}
	assert.InDelta(t, 11, chirps, 1, "again every five minutes")
	r.temp(Tank, 91)
	r.temp(Coil, -10)
	r.step(1)
	assert.Equal(t, Outputs{Buzzer: true}, r.d.Outputs)
}

func TestOrdersAreCutToTheirLongest(t *testing.T) {
	t.Parallel()
	st := NewState()
	st.take([]Order{{RunPump, 1 << 62}, {RunFans, -5}, {HoldOff, 48 * time.Hour}, {OrderKind(99), time.Hour}, {-1, time.Hour}})
	assert.Equal(t, Hand{Pump: 2 * time.Hour, Hold: 24 * time.Hour}, st.Hand)
}
