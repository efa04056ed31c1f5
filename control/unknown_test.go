package control

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

func TestUnknownTank(t *testing.T) {
	t.Parallel()
	r := carrying(t)
	r.s.Fitted.Places[Coil] = false
	r.step(1)
	require.Positive(t, r.d.Outputs.Fans)
	r.lose(Tank, 30*time.Second) // three sampling periods: it stands
	r.step(1)
	require.True(t, r.d.Outputs.Closed)
	require.Positive(t, r.d.Outputs.Fans)
	r.lose(Tank, 31*time.Second)
	changes := r.step(1)
	assert.False(t, r.d.Outputs.Closed, "counts as hot for the contactor")
	assert.True(t, r.d.Outputs.Buzzer, "and for the buzzer")
	require.True(t, raised(changes, AlertTankUnknown))
	assert.Equal(t, AlertTankHot.Severity(), AlertTankUnknown.Severity())
	assert.Zero(t, r.d.Outputs.Fans, "and as cold for the fans")
	assert.False(t, r.st.Alerts[slot(AlertProbeLost, Tank)].Active, "said once, by the graver alert")
	r.run(3 * time.Minute)
	assert.Equal(t, TankUnknown, r.d.Reason)
	assert.Zero(t, r.d.Outputs.Pump)
}

func TestTankLostWhileShedding(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.temp(Tank, 84)
	r.flowing(12)
	require.Equal(t, Shedding, r.d.Mode)
	r.lose(Tank, time.Minute)
	r.temp(Coil, 70)
	r.step(1)
	require.Equal(t, TankLostWhileHot, r.d.Reason)
	assert.Positive(t, r.d.Outputs.Fans, "the coil still shows heat")
	r.temp(Coil, 16)
	r.step(1)
	assert.Zero(t, r.d.Outputs.Fans)
	r.run(time.Minute)
	assert.Zero(t, r.d.Outputs.Pump)
	assert.True(t, r.active(AlertTankHot), "a lost probe does not end the alarm")
	assert.False(t, r.d.Outputs.Closed)
}

func TestUnknownTunnel(t *testing.T) {
	t.Parallel()
	r := wanting()
	r.temp(Tank, 13.5)
	r.lose(Tunnel, time.Minute)
	r.step(1)
	require.Zero(t, r.d.Outputs.Pump, "8.5 K above the floor of 5 °C")
	r.temp(Tank, 14.1)
	r.temp(Coil, 12)
	r.step(1)
	require.Equal(t, Difference, r.d.Reason, "9.1 K above it")
	assert.Positive(t, r.d.Outputs.Fans)
	assert.True(t, r.st.Alerts[slot(AlertProbeLost, Tunnel)].Active)

	r = settledRig()
	r.lose(Tunnel, time.Minute)
	r.lose(Tank, time.Minute)
	r.step(1)
	assert.Equal(t, TankUnknown, r.d.Reason, "neither known: no comparison makes sense")
}

func TestUnknownBattery(t *testing.T) {
	t.Parallel()
	r := carrying(t)
	r.flowing(30)
	r.in.Meter.Age = 31 * time.Second
	r.step(1)
	require.Equal(t, BatteryUnknown, r.d.Reason, "counts as at its reserve")
	require.Zero(t, r.d.Outputs.Pump)
	changes := r.run(90 * time.Second)
	assert.True(t, raised(changes, AlertBatteryUnknown))

	r.temp(Tank, 84)
	r.step(1)
	require.Equal(t, Shedding, r.d.Mode, "a short shed is allowed")
	for age := 3 * time.Minute; age <= 30*time.Minute; age += tick {
		r.in.Meter.Age = age
		r.flowing(1)
	}
	require.Equal(t, Shedding, r.d.Mode)
	r.in.Meter.Age += tick
	r.step(1)
	assert.Equal(t, BatteryBlind, r.d.Reason, "counts as below cut-off")
	assert.Zero(t, r.d.Outputs.Pump)
}

// A daemon that starts again and again does not make a dead meter younger.
func TestBlindnessOutlivesRestarts(t *testing.T) {
	t.Parallel()
	r := newRig()
	r.in.Meter = Meter{}
	r.temp(Tank, 84)
	for range 7 {
		r.run(5 * time.Minute)
		r.st = r.st.Restarted(10*time.Second, true)
	}
	r.step(1)
	assert.Equal(t, BatteryBlind, r.d.Reason)
}

func TestJustStarted(t *testing.T) {
	t.Parallel()
	r := &rig{s: bench(), st: NewState(), in: Inputs{Elapsed: tick, ClockTrusted: true}}
	changes := r.step(2)
	assert.Equal(t, JustStarted, r.d.Reason)
	assert.Empty(t, changes, "nothing is lost before it was looked for")
	assert.Equal(t, Outputs{}, r.d.Outputs)
	changes = r.step(2)
	assert.True(t, raised(changes, AlertTankUnknown))
	assert.True(t, r.d.Outputs.Buzzer)
	assert.True(t, r.st.Alerts[slot(AlertProbeLost, Coil)].Active)
	assert.False(t, r.st.Alerts[slot(AlertProbeLost, Bed)].Active, "not fitted")
}

func TestWhatIsNoNumberIsUnknown(t *testing.T) {
	t.Parallel()
	for name, x := range map[string]float64{"NaN": math.NaN(), "Inf": math.Inf(1), "-Inf": math.Inf(-1), "huge": 1e300} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := carrying(t)
			for p := range Places {
				r.temp(p, quantity.Celsius(x))
			}
			r.in.Meter.Volts, r.in.Meter.Amps = quantity.Volt(x), quantity.Ampere(x)
			changes := r.step(1)
			assert.True(t, raised(changes, AlertTankUnknown))
			assert.False(t, r.d.Outputs.Closed)
			assert.True(t, r.d.Outputs.Buzzer)
			r.run(3 * time.Minute)
			assert.Zero(t, r.d.Outputs.Pump)
			requireFinite(t, r.st, r.d)
		})
	}
}
