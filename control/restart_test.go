package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRestart(t *testing.T) {
	t.Parallel()
	t.Run("outputs were inert: a rest starts anew", func(t *testing.T) {
		t.Parallel()
		r := carrying(t)
		r.st = stored(t, r.st).Restarted(0, false)
		r.step(1)
		require.Equal(t, JustStarted, r.d.Reason, "the battery is not known yet")
		r.step(2)
		assert.Equal(t, MinimumRest, r.d.Reason)
		assert.False(t, r.d.Outputs.Closed, "open until the tank is known, and then its minimum time")
		r.flowing(30)
		assert.Equal(t, Carrying, r.d.Mode)
		assert.True(t, r.d.Outputs.Closed)
	})
	t.Run("the time down counts as rest", func(t *testing.T) {
		t.Parallel()
		r := carrying(t)
		r.st = stored(t, r.st).Restarted(10*time.Minute, true)
		r.step(1)
		assert.Equal(t, Carrying, r.d.Mode)
	})
	t.Run("cut-off, reserve, halted loop and slush last", func(t *testing.T) {
		t.Parallel()
		r := settledRig()
		r.volts(11.5)
		r.run(time.Minute)
		require.Equal(t, BatteryCutOff, r.d.Reason)
		r.st.Flow.Halted, r.st.Slush, r.st.Battery.Sparing = true, true, true
		st := stored(t, r.st).Restarted(time.Hour, true)
		assert.True(t, st.Battery.CutOff && st.Flow.Halted && st.Slush && st.Battery.Sparing)
		r.st = st
		r.volts(12.3)
		r.step(1)
		assert.Equal(t, BatteryCutOff, r.d.Reason)
	})
	t.Run("a try waits for what was left of its ten minutes", func(t *testing.T) {
		t.Parallel()
		r := wanting()
		r.run(2 * time.Minute)
		require.Equal(t, LoopWaits, r.d.Reason)
		r.st = stored(t, r.st).Restarted(5*time.Minute, true)
		r.run(3 * time.Minute)
		require.Equal(t, LoopWaits, r.d.Reason)
		r.run(90 * time.Second)
		assert.Equal(t, Carrying, r.d.Mode)
	})
	t.Run("a charge estimate loses certainty, not itself", func(t *testing.T) {
		t.Parallel()
		st := NewState()
		st.Charge = Charge{Share: 0.8, Band: 0.1, OK: true}
		back := st.Restarted(time.Hour, true).Charge
		assert.True(t, back.OK)
		assert.InDelta(t, 0.8, float64(back.Share), 1e-9)
		assert.InDelta(t, 0.2, float64(back.Band), 1e-9)
		assert.False(t, st.Restarted(0, false).Charge.OK, "a gap of unknown length may have been a day")
	})
	t.Run("absurd gaps", func(t *testing.T) {
		t.Parallel()
		for _, d := range []time.Duration{-time.Hour, 1<<63 - 1, -1 << 63} {
			r := settledRig()
			r.st = r.st.Restarted(d, true)
			r.run(time.Hour)
			assert.Equal(t, Resting, r.d.Mode)
			assert.GreaterOrEqual(t, r.st.Pump.For, time.Hour)
		}
	})
}

// Wall time does not exist here: trusted or not, two daemons decide alike.
func TestOnlyElapsedTimeCounts(t *testing.T) {
	t.Parallel()
	a, b := carrying(t), carrying(t)
	b.in.ClockTrusted = false
	for range 500 {
		a.step(1)
		b.step(1)
		require.True(t, a.d.Same(b.d))
	}
	// Twice as many steps of half the length: the same times.
	a, b = carrying(t), carrying(t)
	a.temp(Tank, 8)
	b.temp(Tank, 8)
	b.in.Elapsed = tick / 2
	for range 100 {
		a.step(1)
		b.step(2)
		require.Equal(t, a.d.Outputs.Pump, b.d.Outputs.Pump)
	}
}

// A process that was stopped for an hour earns no hour of minimum or proof.
func TestALongStepEarnsLittle(t *testing.T) {
	t.Parallel()
	r := settledRig()
	up := r.st.Up
	r.in.Elapsed = 5 * time.Hour
	r.step(1)
	assert.Equal(t, up+longestStep, r.st.Up)
	r.in.Elapsed = -time.Hour
	r.step(1)
	assert.Equal(t, up+longestStep, r.st.Up, "time does not run back")

	r.in.Elapsed, r.in.Orders = tick, []Order{{HoldOff, 30 * time.Minute}}
	r.step(1)
	r.in.Elapsed = time.Hour
	r.step(1)
	assert.NotEqual(t, Held, r.d.Mode, "but what was ordered for half an hour is over after one")
}
