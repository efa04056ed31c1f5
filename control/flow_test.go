package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// wanting is a rig about to carry heat: the next step starts the pump.
func wanting() *rig {
	r := newRig()
	r.run(12 * time.Minute)
	r.temp(Tunnel, 6)
	r.temp(Coil, 6)
	r.temp(Tank, 40)
	return r
}

func TestLoopIsJudgedByWhatIsThere(t *testing.T) {
	t.Parallel()
	const base = quantity.Ampere(-0.1)
	noHeat := func(r *rig) { r.temp(Coil, 37) } // 3 K below the tank: too near to judge by
	rows := []struct {
		name  string
		setUp func(*rig)
		after func(*rig) // how it looks once the pump runs
		want  Reason     // after two minutes
		tries int
	}{
		{"coil warms", nil, func(r *rig) { r.temp(Coil, 20) }, Difference, 0},
		{"coil stays cold", nil, nil, LoopWaits, 1},
		{"coil warms by too little", nil, func(r *rig) { r.temp(Coil, 14) }, LoopWaits, 1},
		{"return warms, no coil probe", func(r *rig) { r.s.Fitted.Places[Coil] = false; r.s.Fitted.Places[Return] = true; r.temp(Return, 6) },
			func(r *rig) { r.temp(Return, 25) }, Difference, 0},
		{"return stays cold, no coil probe", func(r *rig) { r.s.Fitted.Places[Coil] = false; r.s.Fitted.Places[Return] = true; r.temp(Return, 6) },
			nil, LoopWaits, 1},
		{"return warms, coil as warm as the tank", func(r *rig) { noHeat(r); r.s.Fitted.Places[Return] = true; r.temp(Return, 6) },
			func(r *rig) { r.temp(Return, 25) }, Difference, 0},
		{"warmer coil cools to the tank", func(r *rig) { r.temp(Coil, 60) }, func(r *rig) { r.temp(Coil, 42) }, Difference, 0},
		{"current drawn", noHeat, func(r *rig) { r.in.Meter.Amps = base - 1.1 }, Difference, 0},
		{"only the fans' current drawn", noHeat, func(r *rig) { r.in.Meter.Amps = base - 0.5 }, LoopWaits, 1},
		{"no current drawn", noHeat, func(r *rig) { r.in.Meter.Amps = base }, LoopWaits, 1},
		{"charging: the charger hides the draw", func(r *rig) { noHeat(r); r.in.Meter.Amps = 2 }, func(r *rig) { r.in.Meter.Amps = 1.97 }, Difference, 0},
		{"sun comes meanwhile: not counted", noHeat, func(r *rig) { r.in.Meter.Amps = 0.4 }, Difference, 0},
		{"return still warm from the last run", func(r *rig) { noHeat(r); r.s.Fitted.Places[Return] = true; r.temp(Return, 34) },
			func(r *rig) { r.temp(Return, 34.5); r.in.Meter.Amps = base - 1.1 }, Difference, 0},
		{"neither: not judged, not counted", func(r *rig) { noHeat(r); r.in.Meter.HasAmps = false }, nil, Difference, 0},
		{"no pump current known: not judged", func(r *rig) { noHeat(r); r.s.Proof.PumpCurrent = 0 }, nil, Difference, 0},
		{"coil lost meanwhile, current shows it", nil, func(r *rig) { r.lose(Coil, time.Hour); r.in.Meter.Amps = base - 1.1 }, Difference, 0},
		{"all lost meanwhile: not counted", nil, func(r *rig) { r.lose(Coil, time.Hour); r.in.Meter.HasAmps = false }, Difference, 0},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := wanting()
			if row.setUp != nil {
				row.setUp(r)
			}
			r.step(1)
			require.Positive(t, r.d.Outputs.Pump, r.d.Reason.String())
			if row.after != nil {
				row.after(r)
			}
			r.run(2 * time.Minute)
			assert.Equal(t, row.want.String(), r.d.Reason.String())
			assert.Equal(t, row.tries, r.st.Flow.Tries)
		})
	}
}

// Fans that ran before the pump started are in the baseline already.
func TestCurrentKnowsTheFansBefore(t *testing.T) {
	t.Parallel()
	r := wanting()
	r.temp(Coil, 37)
	r.st.Fans = Run{On: true, For: time.Hour}
	r.in.Meter.Amps = -0.6 // daemon and fans
	r.step(1)
	require.Positive(t, r.d.Outputs.Pump)
	r.in.Meter.Amps = -0.7 // fans go on, the pump draws next to nothing
	r.run(2 * time.Minute)
	assert.Equal(t, LoopWaits, r.d.Reason)
}

func TestThreeTriesThenHalted(t *testing.T) {
	t.Parallel()
	r := wanting()
	starts := r.starts(2 * time.Hour)
	require.Len(t, starts, 3)
	for i := range 2 {
		assert.InDelta(t, (11 * time.Minute).Seconds(), (starts[i+1] - starts[i]).Seconds(), 20,
			"a minute to judge, ten to wait")
	}
	assert.Equal(t, LoopHalted, r.d.Reason)
	assert.True(t, r.active(AlertLoopStill))

	r.temp(Tank, 84)
	starts = r.starts(time.Hour)
	assert.InDelta(t, 5.5, float64(len(starts)), 0.5, "while shedding, one try every ten minutes")

	r.temp(Tank, 40)
	require.Empty(t, r.starts(time.Hour), "and none once it has cooled")

	r.in.Orders = []Order{{Resume, 0}}
	require.Len(t, r.starts(time.Minute), 1)
	assert.False(t, r.active(AlertLoopStill))
}

func TestAGoodTryForgivesTheBadOnes(t *testing.T) {
	t.Parallel()
	r := wanting()
	r.starts(15 * time.Minute)
	require.Equal(t, 2, r.st.Flow.Tries)
	r.run(6 * time.Minute)
	r.flowing(30)
	assert.Zero(t, r.st.Flow.Tries)
	assert.Equal(t, Carrying, r.d.Mode)
}

func TestPumpDyingMidRun(t *testing.T) {
	t.Parallel()
	r := carrying(t)
	r.flowing(30)
	r.temp(Coil, 7) // gone to the air
	r.run(4 * time.Minute)
	require.Equal(t, Carrying, r.d.Mode)
	r.run(2 * time.Minute)
	assert.Equal(t, LoopWaits, r.d.Reason)
	assert.Zero(t, r.d.Outputs.Pump)
}

func TestNothingIsJudgedWhileWatching(t *testing.T) {
	t.Parallel()
	r := wanting()
	r.in.Orders = []Order{{WatchOnly, 24 * time.Hour}}
	r.run(3 * time.Hour)
	assert.Positive(t, r.d.Wanted.Pump)
	assert.Zero(t, r.st.Flow.Tries)
}

// A halted loop with a lost tank makes no tries: nobody knows that it is hot.
func TestHaltedAndTankLost(t *testing.T) {
	t.Parallel()
	r := wanting()
	r.starts(2 * time.Hour)
	r.temp(Tank, 84)
	r.run(time.Minute)
	r.lose(Tank, time.Hour)
	r.in.Orders = []Order{{RunPump, time.Hour}}
	assert.Empty(t, r.starts(time.Hour))
}

// starts runs for d and says when the pump started.
func (r *rig) starts(d time.Duration) []time.Duration {
	var at []time.Duration
	for i := range int(d / tick) {
		was := r.d.Outputs.Pump > 0
		r.step(1)
		if r.d.Outputs.Pump > 0 && !was {
			at = append(at, time.Duration(i)*tick)
		}
	}
	return at
}

// active says whether an alert without a place is in force.
func (r *rig) active(c AlertCode) bool { return r.st.Alerts[slot(c, Places)].Active }

// Big fans beside a small pump, and a meter that is a tenth off: a pump that runs is
// proved by its current, one that stands is not.
func TestProofByCurrentBesideBigFans(t *testing.T) {
	t.Parallel()
	for gain, name := range map[float64]string{0.9: "low", 1: "right", 1.1: "high"} {
		for _, dead := range []bool{false, true} {
			r := newRig()
			r.s.Fitted.Places[Coil] = false
			r.s.Proof.PumpCurrent, r.s.Proof.FanCurrent = 10.0/12, 20.0/12
			r.temp(Tank, 50)
			r.step(30)
			for range 60 {
				watts := 0.0
				if r.d.Outputs.Pump > 0 && !dead {
					watts += 10
				}
				if r.d.Outputs.Fans > 0 {
					watts += 20
				}
				r.in.Meter.Amps = quantity.Ampere(-0.1 - gain*watts/12.75)
				r.step(1)
				r.temp(Tunnel, 3)
			}
			assert.Equal(t, dead, r.st.Flow.Tries > 0, "meter %s, dead %v", name, dead)
		}
	}
}
