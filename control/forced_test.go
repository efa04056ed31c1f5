package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
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

	r = begun()
	r.run(testRound)
	require.Equal(t, TestByHand, r.d.Reason)
	r.temp(Tank, 14)
	r.run(time.Minute)
	assert.NotEqual(t, TestByHand, r.d.Reason)
	assert.Zero(t, r.st.Hand.Test, "after a round a cool tank uses the order up")
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

// A try that is broken off before a whole round leaves the order for its next chance, which comes
// after a rest, and beside a tank that is warmer than the last where that was too cool.
func TestForcedTestTriesAgain(t *testing.T) {
	t.Parallel()
	short := func(r *rig) { r.in.Tonight.Cold, r.in.Tonight.Story.Coldest = true, 3 }
	for name, c := range map[string]struct {
		breaks, mends func(*rig)
		again         time.Duration // from the break to the next try; 0 is none in three hours
	}{
		"the tank cools, and is warm again":   {func(r *rig) { r.temp(Tank, 14) }, func(r *rig) { r.temp(Tank, 45) }, testAgain},
		"the tank cools, and is a bit warmer": {func(r *rig) { r.temp(Tank, 14) }, func(r *rig) { r.temp(Tank, 12+15) }, 0},
		"the air has all of it":               {func(r *rig) { short(r); r.temp(Tunnel, 43) }, func(r *rig) { r.temp(Tunnel, 12); r.in.Tonight.Cold = false }, testAgain},
		"a hold":                              {func(r *rig) { r.in.Orders = []Order{{HoldOff, 10 * time.Minute}} }, func(r *rig) { r.temp(Tank, 12+13) }, testAgain},
		"watching only":                       {func(r *rig) { r.in.Orders = []Order{{WatchOnly, 10 * time.Minute}} }, func(*rig) {}, testAgain},
		"the battery":                         {func(r *rig) { r.in.Meter.Volts = 11 }, func(r *rig) { r.in.Meter.Volts = 12.9 }, testAgain},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := testing0()
			r.run(47 * time.Minute)
			require.Equal(t, TestByHand, r.d.Reason)
			c.breaks(r)
			broke := 0
			for r.step(1); r.st.Hand.Tested > 0; r.step(1) {
				broke++
				require.Less(t, broke, int(3*time.Minute/tick))
			}
			assert.Positive(t, r.st.Hand.Test, "the order stands")
			r.run(10 * time.Minute)
			assert.NotEqual(t, TestByHand, r.d.Reason)
			c.mends(r)
			waited := 10 * time.Minute
			for ; waited < 3*time.Hour && r.d.Reason != TestByHand; waited += tick {
				r.step(1)
			}
			if c.again == 0 {
				assert.NotEqual(t, TestByHand, r.d.Reason)
				return
			}
			assert.InDelta(t, c.again.Seconds(), waited.Seconds(), 30)
			r.run(testFor + time.Minute)
			assert.Zero(t, r.st.Hand.Test, "a whole one uses it up")
		})
	}
}

// nibbled is a short night at the edge: tank and light air as they are at rest, and the air as
// it is while the coil blows. It counts how often a test begins in ten hours.
func nibbled(tank, air, blown quantity.Celsius) (r *rig, starts int) {
	r = testing0()
	r.in.Tonight.Cold, r.in.Tonight.Story.Coldest = true, 3
	r.in.Orders = []Order{{ForceTest, 11 * time.Hour}}
	r.temp(Tank, tank)
	on := false
	for range int(10 * time.Hour / tick) {
		r.temp(Tunnel, air)
		if r.d.Outputs.Pump > 0 {
			r.temp(Tunnel, blown)
		}
		r.step(1)
		if now := r.st.Hand.Tested > 0; now != on {
			if on = now; on {
				starts++
			}
		}
	}
	return r, starts
}

// Light air follows the coil while that blows, and tells nothing of the tank: the test goes on
// to its end. A tank that has too little is found out once, and then waits for more.
func TestForcedTestDoesNotNibble(t *testing.T) {
	t.Parallel()
	r, starts := nibbled(12+13, 12, 12+9)
	assert.Equal(t, 1, starts)
	assert.Zero(t, r.st.Hand.Test, "it was made, whole")

	r, starts = nibbled(12+13, 12, 12+11)
	assert.Equal(t, 1, starts, "13 K was too little: it waits for more")
	assert.Positive(t, r.st.Hand.Test)
	r.temp(Tunnel, 8) // the air cools towards morning
	r.step(2)
	assert.Equal(t, TestByHand, r.d.Reason)
}

// What is the crop's is not spent: in a short night the tank is judged once the air has
// settled at rest, and the test is broken off there.
func TestForcedTestLeavesTheCropItsHeat(t *testing.T) {
	t.Parallel()
	r := testing0()
	r.run(47 * time.Minute)
	require.Equal(t, TestByHand, r.d.Reason)
	r.in.Tonight.Cold, r.in.Tonight.Story.Coldest = true, 3
	r.temp(Tank, 12+9)
	began := r.st.Hand.Tested
	r.run(testOn + testSettles - began - tick)
	assert.Positive(t, r.st.Hand.Tested)
	r.step(2)
	assert.Zero(t, r.st.Hand.Tested)
	assert.Positive(t, r.st.Hand.Test)
	assert.Equal(t, testAgain, r.st.Hand.Again.Round(time.Minute))
}

// Nothing is begun that could not run, and a second order breaks none that is under way.
func TestForcedTestBeginsWhereItCanRun(t *testing.T) {
	t.Parallel()
	for name, o := range map[string]OrderKind{"held off": HoldOff, "watched only": WatchOnly} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := testing0()
			r.in.Orders = []Order{{o, 9 * time.Hour}}
			r.run(8 * time.Hour)
			assert.Zero(t, r.st.Hand.Tested)
			r.run(time.Hour + time.Minute)
			assert.Equal(t, TestByHand, r.d.Reason)
			assert.Positive(t, float64(r.d.Outputs.Pump))
		})
	}
	r := testing0()
	r.run(2 * time.Hour)
	before := r.st.Hand.Tested
	require.Positive(t, before)
	r.in.Orders = []Order{{ForceTest, 30 * time.Hour}}
	r.step(1)
	assert.Equal(t, before+tick, r.st.Hand.Tested)
	assert.Equal(t, 30*time.Hour, r.st.Hand.Test)
	r.in.Orders = []Order{{EndByHand, 0}}
	r.step(1)
	assert.Zero(t, r.st.Hand.Test)
}
