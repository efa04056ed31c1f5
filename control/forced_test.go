package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// testing0 is a rig on a dark evening beside a warm tank, a forced test asked for.
func testing0() *rig {
	r := settledRig()
	r.s.Proof.PumpCurrent, r.s.Fitted.Places[Coil] = 0, false
	r.temp(Tank, 45)
	r.temp(Tunnel, 12)
	r.run(time.Hour)     // the probes' jump is no sun
	r.in.Tonight.Way = 3 // a plan that asks for nothing
	r.st.Hand.Dark = 0   // the element heated until now
	r.in.Orders = []Order{{ForceTest, 24 * time.Hour}}
	r.step(1)
	return r
}

// It waits for three quarters of an hour of dark, then runs half an hour and rests an hour, by
// turns, for six hours.
func TestForcedTestByTurns(t *testing.T) {
	t.Parallel()
	r := testing0()
	ran, rested, first := 0, 0, 0
	var turns []bool
	for k := range int(9 * time.Hour / tick) {
		r.step(1)
		on := r.d.Outputs.Pump > 0
		if r.d.Reason == TestByHand {
			if first == 0 {
				first = k
			}
			if on {
				ran++
			} else {
				rested++
			}
			if n := len(turns); n == 0 || turns[n-1] != on {
				turns = append(turns, on)
			}
		}
	}
	assert.InDelta(t, (45 * time.Minute).Seconds(), float64(first)*tick.Seconds(), 30)
	assert.InDelta(t, (2 * time.Hour).Seconds(), float64(ran)*tick.Seconds(), 60)
	assert.InDelta(t, (4 * time.Hour).Seconds(), float64(rested)*tick.Seconds(), 120)
	assert.Equal(t, []bool{true, false, true, false, true, false, true, false}, turns)
	assert.Zero(t, r.st.Hand.Test, "it is over")
	assert.NotEqual(t, TestByHand, r.d.Reason)
}

// The crop comes first, and every stop stands above the test.
func TestForcedTestYields(t *testing.T) {
	t.Parallel()
	begun := func() *rig {
		r := testing0()
		r.run(46 * time.Minute)
		require.Equal(t, TestByHand, r.d.Reason)
		require.Positive(t, float64(r.d.Outputs.Pump))
		return r
	}
	r := begun()
	r.run(40 * time.Minute) // it rests now
	require.Zero(t, float64(r.d.Outputs.Pump))
	r.in.Tonight.Way = 1 // the crop's minimum alone
	r.temp(Tunnel, r.s.Crop.Minimum-1)
	r.run(10 * time.Minute)
	assert.Equal(t, CropCold, r.d.Reason, "below the crop's minimum heat is spent as always")
	assert.Positive(t, float64(r.d.Outputs.Pump))

	r = begun()
	r.temp(Tunnel, r.s.Crop.Maximum+1)
	r.step(1)
	assert.Zero(t, float64(r.d.Outputs.Pump), "above the crop's maximum it rests")

	r = begun()
	r.in.Meter.Volts = 11
	r.run(2 * time.Minute)
	assert.Zero(t, float64(r.d.Outputs.Pump), "the battery's cut-off stands above it: %v", r.d.Reason)

	r = begun()
	r.in.Orders = []Order{{HoldOff, time.Hour}}
	r.step(1)
	assert.Equal(t, Held, r.d.Mode)

	r = begun()
	r.temp(Tank, 14)
	r.run(time.Minute)
	assert.NotEqual(t, TestByHand, r.d.Reason, "a cool tank ends it")
	assert.Zero(t, r.st.Hand.Test)
}

// It does not begin by day, beside a cool tank, or in a night whose heat the crop needs.
func TestForcedTestWaits(t *testing.T) {
	t.Parallel()
	for name, change := range map[string]func(*rig){
		"a cool tank":      func(r *rig) { r.temp(Tank, 20) },
		"no heat to spare": func(r *rig) { r.in.Tonight.Cold, r.in.Tonight.Story.Coldest = true, 3 },
		"no tunnel":        func(r *rig) { r.lose(Tunnel, time.Hour) },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := testing0()
			change(r)
			r.run(2 * time.Hour)
			assert.NotEqual(t, TestByHand, r.d.Reason)
			assert.Positive(t, r.st.Hand.Test, "it still waits")
		})
	}
	late := testing0()
	late.in.Tonight.Cold, late.in.Tonight.Story.Coldest = true, 3
	late.run(11*time.Hour + 50*time.Minute)
	require.NotEqual(t, TestByHand, late.d.Reason, "it waits for a night with heat to spare")
	late.run(15 * time.Minute)
	assert.Equal(t, TestByHand, late.d.Reason, "but not for ever: the grower asked for it")

	r := testing0()
	for range int(2 * time.Hour / tick) {
		r.temp(Tank, r.in.Places[Tank].Value+0.02) // the sun heats it
		r.step(1)
		require.NotEqual(t, TestByHand, r.d.Reason)
	}
}
