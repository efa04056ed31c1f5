package control

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// coldNight is a rig with a warm tank and a cold tunnel, and what a mind says.
func coldNight(a night.Advice) *rig {
	r := newRig()
	r.s.Proof.PumpCurrent, r.s.Proof.Difference = 0, 500 // the loop is not judged: its coil never cools
	r.temp(Tank, 50)
	r.temp(Coil, 40)
	r.temp(Tunnel, 3)
	r.in.Tonight = night.Advice{Way: night.Planned}
	r.step(60) // the battery becomes known
	r.in.Tonight = a
	return r
}

// A planned share of the time is run, in runs of the minimum at least.
func TestPlannedShareIsRun(t *testing.T) {
	t.Parallel()
	for _, share := range []float64{0, 0.05, 0.3, 0.8, 1} {
		r := coldNight(night.Advice{Way: night.Planned, Duty: share, Cold: true})
		var ran, total, run time.Duration
		for range 6 * 60 * 6 { // six hours
			r.step(1)
			total += tick
			if r.d.Outputs.Pump > 0 {
				ran, run = ran+tick, run+tick
				continue
			}
			if run > 0 {
				assert.GreaterOrEqual(t, run, r.s.Carry.MinRun)
			}
			run = 0
		}
		assert.InDelta(t, share, ran.Seconds()/total.Seconds(), 0.02, "share %v", share)
	}
}

// A slower drive starts at full speed, so that what is drawn or the coil shows that it
// moves, and goes down to the speed asked once it does.
func TestSlowStartIsProvedAtFullSpeed(t *testing.T) {
	t.Parallel()
	r := newRig()
	r.s.Carry.Drive = night.Varied
	r.temp(Tank, 50)
	r.temp(Coil, 48) // too near the tank to tell
	r.temp(Tunnel, 3)
	r.in.Meter.Amps = -0.1
	r.in.Tonight = night.Advice{Way: night.Planned}
	r.run(12 * time.Minute)
	r.in.Tonight = night.Advice{Way: night.Planned, Duty: 0.5, Cold: true}
	for range 100 {
		if r.step(1); r.d.Outputs.Pump > 0 {
			break
		}
	}
	require.InDelta(t, 1, float64(r.d.Outputs.Pump), 1e-9)
	require.InDelta(t, 1, float64(r.d.Outputs.Fans), 1e-9)
	require.True(t, r.st.Flow.Watching)
	r.in.Meter.Amps = -1.2
	r.step(2)
	assert.False(t, r.st.Flow.Watching)
	assert.InDelta(t, 0.25, float64(r.d.Outputs.Pump), 1e-9)
	r.in.Meter.Amps = -0.25 // as little as that draws
	r.run(10 * time.Minute)
	assert.Zero(t, r.st.Flow.Tries)
	assert.Positive(t, float64(r.d.Outputs.Pump))
}

// A slower drive runs all the time at the speed that gives the planned share of the
// conductance, and pulses only below its least speed.
func TestVariedDriveRunsSlower(t *testing.T) {
	t.Parallel()
	r := coldNight(night.Advice{Way: night.Planned, Duty: 0.8, Cold: true})
	r.s.Carry.Drive = night.Varied
	r.step(60)
	assert.InDelta(t, 0.64, float64(r.d.Outputs.Pump), 1e-9)
	assert.InDelta(t, 0.64, float64(r.d.Outputs.Fans), 1e-9)
	r.in.Tonight.Duty = 0.25
	slow := 0
	for range 360 {
		r.step(1)
		if r.d.Outputs.Pump > 0 {
			slow++
			require.InDelta(t, night.Slowest, float64(r.d.Outputs.Pump), 1e-9)
		}
	}
	assert.InDelta(t, 180, slow, 20, "half of the time at a quarter of the speed")
}

// Where air is light a planned share is no run of its own: the air that the plan has at
// this hour is held, while the plan gives heat at all.
func TestLightAirIsHeld(t *testing.T) {
	t.Parallel()
	r := coldNight(night.Advice{Way: night.Planned, Duty: 0.3, Cold: true, Hold: true, Level: 2})
	r.step(60)
	assert.Zero(t, r.d.Outputs.Pump, "3 °C is above it, however much is owed")
	assert.Equal(t, Saving.String(), r.d.Reason.String())
	r.temp(Tunnel, 1.9)
	r.step(2)
	require.Positive(t, r.d.Outputs.Pump)
	r.run(5 * time.Minute)
	r.temp(Tunnel, 2.2)
	r.step(2)
	assert.Positive(t, r.d.Outputs.Pump, "until it is a little above")
	r.temp(Tunnel, 2.4)
	r.step(2)
	assert.Zero(t, r.d.Outputs.Pump)
	r.in.Tonight.Duty = 0.01
	r.temp(Tunnel, 0)
	r.run(time.Hour)
	assert.Zero(t, r.d.Outputs.Pump, "the plan gives none now")
	r.in.Tonight.Duty, r.in.Tonight.Level = 1, -5
	r.run(10 * time.Minute)
	assert.Positive(t, r.d.Outputs.Pump, "all the time")
}

// Without the tunnel's probe heat goes by the difference while the greenhouse is cold,
// without tank or battery none does, and the words say so.
func TestWhatIsDoneUnseen(t *testing.T) {
	t.Parallel()
	r := coldNight(night.Advice{Way: night.Waiting, Why: night.AirUnseen})
	r.s.Fitted.Places[Greenhouse] = true
	r.lose(Tunnel, time.Hour)
	r.temp(Greenhouse, 8)
	r.run(10 * time.Minute)
	assert.Zero(t, r.d.Outputs.Pump, "the greenhouse is warm")
	r.temp(Greenhouse, -2)
	r.run(10 * time.Minute)
	assert.Positive(t, r.d.Outputs.Pump)
	assert.Contains(t, TonightWords(r.in.Tonight, Barred{}, time.Time{}, quantity.SI, time.UTC), "while the greenhouse is below the crop's minimum")

	r = coldNight(night.Advice{Way: night.Waiting, Why: night.TankUnseen})
	r.lose(Tank, time.Hour)
	r.run(time.Hour)
	assert.Zero(t, r.d.Outputs.Pump)
	assert.Contains(t, TonightWords(r.in.Tonight, Barred{}, time.Time{}, quantity.SI, time.UTC), "No heat is carried until the tank is known")

	r = coldNight(night.Advice{Way: night.Waiting, Why: night.BatteryUnseen})
	r.in.Meter.HasVolts = false
	r.run(time.Hour)
	assert.Zero(t, r.d.Outputs.Pump)
	assert.Contains(t, TonightWords(r.in.Tonight, Barred{}, time.Time{}, quantity.SI, time.UTC), "No heat is carried until the battery is known")
}

// A tunnel that is warm enough is said to be, not a tank that is cool.
func TestWarmTunnelIsNoCoolTank(t *testing.T) {
	t.Parallel()
	r := coldNight(night.Advice{Way: night.Waiting, Why: night.JustBegun})
	r.temp(Tunnel, 14)
	r.step(60)
	assert.Equal(t, WarmEnough.String(), r.d.Reason.String())
}

// What stands above comfort stands above the plan.
func TestSafetyStandsAboveThePlan(t *testing.T) {
	t.Parallel()
	planned := night.Advice{Way: night.Planned, Duty: 1, Cold: true}
	rows := []struct {
		name   string
		bend   func(*rig)
		reason Reason
	}{
		{"battery at its reserve", func(r *rig) { r.st.Charge.Share = 0.4 }, BatteryReserve},
		{"held by hand", func(r *rig) { r.in.Orders = []Order{{HoldOff, time.Hour}} }, HoldByHand},
		{"tank hot", func(r *rig) { r.temp(Tank, 85) }, TankHot},
		{"level low", func(r *rig) { r.in.Level = LevelLow }, LevelIsLow},
	}
	for _, row := range rows {
		r := coldNight(planned)
		row.bend(r)
		r.step(2)
		assert.Equal(t, row.reason.String(), r.d.Reason.String(), row.name)
	}
}

// Without a plan the crop's minimum alone is kept, where the heat is worth it; a floor
// is held with a small band.
func TestWaysBelowThePlan(t *testing.T) {
	t.Parallel()
	r := coldNight(night.Advice{Way: night.Waiting})
	r.step(2)
	assert.Equal(t, CropCold.String(), r.d.Reason.String())
	r.temp(Tunnel, 6.5)
	r.step(60)
	assert.Zero(t, r.d.Outputs.Pump, "no start by difference")

	r = coldNight(night.Advice{Way: night.Levelled, Level: 4})
	r.step(2)
	assert.Equal(t, Levelling.String(), r.d.Reason.String())
	r.temp(Tunnel, 4.2)
	r.step(60)
	assert.Positive(t, r.d.Outputs.Pump)
	r.temp(Tunnel, 4.4)
	r.step(60)
	assert.Zero(t, r.d.Outputs.Pump)
	assert.Equal(t, Saving.String(), func() string { r.in.Tonight.Cold = true; r.step(1); return r.d.Reason.String() }())
}

// A plan that is no number is no plan.
func TestAdviceThatIsNoNumber(t *testing.T) {
	t.Parallel()
	for _, bad := range []night.Advice{{Way: night.Planned, Duty: math.NaN()}, {Way: night.Levelled, Level: math.Inf(1)}, {Way: night.Planned, Duty: 2}} {
		r := coldNight(bad)
		r.step(1)
		assert.Equal(t, night.Waiting, r.d.Facts.Tonight.Way)
	}
}

// A tunnel with warmth to spare heats a colder tank, where that is planned; a cold one
// does not.
func TestGathering(t *testing.T) {
	t.Parallel()
	r := coldNight(night.Advice{Way: night.Planned, Duty: 1, Cold: true})
	r.temp(Tank, 8)
	r.temp(Coil, 20)
	r.temp(Tunnel, 24)
	r.step(2)
	assert.Equal(t, Gathering.String(), r.d.Reason.String())
	r.temp(Coil, 9)
	r.step(2)
	assert.Positive(t, r.d.Outputs.Fans)
	r.temp(Tunnel, 5.5)
	r.temp(Tank, 2)
	r.step(60)
	assert.Zero(t, r.d.Outputs.Pump)
}

// What a mind is told of a step.
func TestSample(t *testing.T) {
	t.Parallel()
	r := coldNight(night.Advice{Way: night.Planned, Duty: 1, Cold: true})
	r.s.Element = Element{Resistance: 2, FullSun: 200, Sign: 2}
	r.in.Panel = Panel{Volts: 10, Has: true} // 50 W
	r.step(60)
	at := time.Date(2026, 1, 15, 3, 0, 0, 0, time.UTC)
	s := r.s.Sample(&r.in, &r.d, at)
	assert.Equal(t, at, s.Time)
	assert.InDelta(t, 0.5, s.Sun, 1e-9, "the root of a quarter of the power")
	assert.InDelta(t, 50, s.Tank, 1e-9)
	assert.InDelta(t, 3, s.Air, 1e-9)
	assert.True(t, math.IsNaN(s.House), "no probe there")
	assert.InDelta(t, 1, s.Flow, 1e-9)
	assert.InDelta(t, 0.5, s.Floor, 1e-9)

	r.in.Panel = Panel{}
	r.s.Proof.PumpCurrent = 0.6
	r.in.Meter.Amps = quantity.Ampere(2 - 0.6 - 0.5) // its panel feeds pump and fans too
	r.step(1)
	s = r.s.Sample(&r.in, &r.d, at)
	assert.InDelta(t, 0.4, s.Sun, 1e-6, "the current that comes at 400 W/m²")
	r.d.Facts.Zero = 0.1 // what the meter says when nothing flows
	s = r.s.Sample(&r.in, &r.d, at)
	assert.InDelta(t, -(2-0.6-0.5-0.1)/24, s.Drawn, 1e-6, "charging, as a share of 24 Ah an hour")
	r.in.Meter.HasAmps = false
	s = r.s.Sample(&r.in, &r.d, at)
	assert.True(t, math.IsNaN(s.Drawn))
}
