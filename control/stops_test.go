package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// carrying is a rig that carries heat to the tunnel with a moving loop.
func carrying(t *testing.T) *rig {
	t.Helper()
	r := newRig()
	r.run(12 * time.Minute)
	r.temp(Tunnel, 6)
	r.temp(Tank, 40)
	r.flowing(6)
	require.Equal(t, Carrying, r.d.Mode)
	require.Positive(t, r.d.Outputs.Pump)
	return r
}

func (r *rig) volts(v quantity.Volt) { r.in.Meter.Volts = v }

func TestCutOffWaitsOutADip(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name  string
		volts []quantity.Volt // one a tick, then 12.6 V
		cut   bool
	}{
		{"one noisy sample", []quantity.Volt{9}, false},
		{"pump start: a dip of 30 s", []quantity.Volt{11.5, 11.5, 11.6}, false},
		{"two dips with a rest between", []quantity.Volt{11.5, 11.5, 11.5, 12.6, 12.6, 11.5, 11.5, 11.5}, false},
		{"held for the delay of 40 s", []quantity.Volt{11.5, 11.5, 11.5, 11.5, 11.5}, true},
		{"held, with one sample too high", []quantity.Volt{11.5, 11.5, 14, 11.5, 11.5}, true},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := carrying(t)
			var cut bool
			for _, v := range append(row.volts, 12.6, 12.6) {
				r.volts(v)
				r.step(1)
				cut = cut || r.d.Reason == BatteryCutOff
			}
			assert.Equal(t, row.cut, cut)
		})
	}
}

// A noisy sample that the meter repeats, because it was not asked again, is
// still one sample.
func TestCutOffCountsASampleOnce(t *testing.T) {
	t.Parallel()
	r := carrying(t)
	r.s.Battery.Delay = 20 * time.Second
	r.volts(11.2)
	for _, age := range []time.Duration{0, tick, 2 * tick, 3 * tick} {
		r.in.Meter.Age = age
		r.step(1)
		require.NotEqual(t, BatteryCutOff, r.d.Reason, "age %v", age)
	}
}

func TestCutOffIsFreedOfLoad(t *testing.T) {
	t.Parallel()
	r := carrying(t)
	r.in.Meter.Volts, r.in.Meter.Amps = 11.8, -6 // 11.92 V at rest by Ohm's law over 20 mΩ
	r.run(5 * time.Minute)
	assert.NotEqual(t, BatteryCutOff, r.d.Reason)
	r.in.Meter.Amps = -4 // 11.88 V
	r.run(time.Minute)
	assert.Equal(t, BatteryCutOff, r.d.Reason)
}

func TestReconnectIsSeparate(t *testing.T) {
	t.Parallel()
	r := carrying(t)
	r.volts(11.5)
	changes := r.run(time.Minute)
	require.Equal(t, BatteryCutOff, r.d.Reason)
	assert.True(t, raised(changes, AlertBatteryCutOff))
	assert.Zero(t, r.d.Outputs.Pump)
	assert.Zero(t, r.d.Outputs.Fans)

	r.volts(12.3) // above cut-off, below reconnect
	r.run(time.Hour)
	require.Equal(t, BatteryCutOff, r.d.Reason)

	r.volts(12.6)
	r.step(4)
	require.Equal(t, BatteryCutOff, r.d.Reason, "the way back has the delay too")
	r.st.Charge.Share = 0.9
	changes = r.run(time.Minute)
	assert.NotEqual(t, Halted, r.d.Mode)
	assert.True(t, changed(changes, AlertBatteryCutOff, Cleared))
}

func TestStopsEndARunInTheSameTick(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name   string
		happen func(*rig)
		reason Reason
	}{
		{"level low", func(r *rig) { r.in.Level = LevelLow }, LevelIsLow},
		{"slush at the coil", func(r *rig) { r.temp(Coil, -12) }, LoopSlush},
		{"slush at the return", func(r *rig) { r.s.Fitted.Places[Return] = true; r.temp(Return, -12.5) }, LoopSlush},
		{"battery not seen too long", func(r *rig) { r.in.Meter.Age = 31 * time.Minute }, BatteryBlind},
		{"loop halted", func(r *rig) { r.st.Flow.Halted = true }, LoopHalted},
		{"hold", func(r *rig) { r.in.Orders = []Order{{HoldOff, time.Hour}} }, HoldByHand},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := carrying(t)
			row.happen(r)
			r.step(1)
			assert.Equal(t, row.reason.String(), r.d.Reason.String())
			assert.Zero(t, r.d.Outputs.Pump)
			assert.Zero(t, r.d.Outputs.Fans)
		})
	}
}

func TestLevelLowOpensTheContactor(t *testing.T) {
	t.Parallel()
	r := carrying(t)
	require.True(t, r.d.Outputs.Closed)
	r.in.Level = LevelLow
	changes := r.step(1)
	assert.False(t, r.d.Outputs.Closed)
	assert.True(t, r.d.Outputs.Buzzer)
	assert.True(t, raised(changes, AlertLevelLow))
	r.in.Level = LevelGood
	r.run(4 * time.Minute)
	assert.False(t, r.d.Outputs.Closed, "minimum open time")
	r.run(2 * time.Minute)
	assert.True(t, r.d.Outputs.Closed)
}

// Slush does not thaw because its probe fell off.
func TestSlushOutlastsItsProbe(t *testing.T) {
	t.Parallel()
	r := carrying(t)
	r.temp(Coil, -13)
	r.step(1)
	r.lose(Coil, time.Hour)
	r.run(time.Hour)
	require.Equal(t, LoopSlush, r.d.Reason)
	r.in.Orders = []Order{{Resume, 0}}
	r.step(1)
	assert.Equal(t, Carrying, r.d.Mode, "the grower has looked")

	r.temp(Coil, -12.2)
	r.step(1)
	require.Equal(t, LoopSlush, r.d.Reason)
	r.temp(Coil, -11.6)
	r.step(1)
	assert.Equal(t, LoopSlush, r.d.Reason, "half a kelvin of hysteresis")
	r.in.Orders = []Order{{Resume, 0}}
	r.temp(Coil, -12)
	r.step(1)
	assert.Equal(t, LoopSlush, r.d.Reason, "a probe that shows it wins over the order")
	r.temp(Coil, -11)
	r.step(1)
	assert.NotEqual(t, LoopSlush, r.d.Reason)
}

func changed(changes []AlertChange, c AlertCode, k ChangeKind) bool {
	for _, ch := range changes {
		if ch.Code == c && ch.Kind == k {
			return true
		}
	}
	return false
}
