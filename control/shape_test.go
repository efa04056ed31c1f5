package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMinimumTimes(t *testing.T) {
	t.Parallel()
	r := carrying(t) // its pump started a minute ago
	r.temp(Tank, 8)
	r.run(time.Minute)
	require.Equal(t, MinimumRun, r.d.Reason)
	require.Positive(t, r.d.Outputs.Pump)
	r.run(70 * time.Second)
	require.Zero(t, r.d.Outputs.Pump)

	r.temp(Tank, 40)
	r.run(3 * time.Minute)
	require.Equal(t, MinimumRest, r.d.Reason)
	require.Zero(t, r.d.Outputs.Pump)
	r.run(70 * time.Second)
	assert.Equal(t, Carrying, r.d.Mode)
}

// Safety waits for none of comfort's times, and has a short one of its own.
func TestSafetyHasItsOwnMinimum(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.temp(Coil, -9)
	r.temp(Tank, 5)
	r.step(1)
	require.Equal(t, Guarding, r.d.Mode)
	r.temp(Coil, 5)
	r.step(1)
	require.Zero(t, r.d.Outputs.Pump)
	r.temp(Coil, -9)
	r.step(1)
	require.Equal(t, SafetyRest, r.d.Reason)
	r.step(2)
	assert.Equal(t, Guarding, r.d.Mode, "half a minute later")

	r = settledRig()
	r.temp(Tank, 83)
	r.step(1)
	r.temp(Tunnel, 31)
	r.step(1)
	require.Equal(t, MinimumRun, r.d.Reason, "a shed finishes its half minute")
	assert.Zero(t, r.d.Outputs.Fans, "without blowing into the hot tunnel")
	r.step(3)
	assert.Equal(t, TankHotWaits, r.d.Reason)
}

func TestFanOverrun(t *testing.T) {
	t.Parallel()
	overrun := func(t *testing.T) *rig {
		r := carrying(t)
		r.flowing(30)
		r.temp(Tank, 8)
		r.temp(Coil, 20)
		r.step(1)
		require.Zero(t, r.d.Outputs.Pump)
		require.Positive(t, r.d.Outputs.Fans)
		require.True(t, r.d.Facts.Overrun)
		return r
	}
	rows := []struct {
		name   string
		happen func(*rig)
		after  time.Duration
		fans   bool
	}{
		{"coil still warm", func(*rig) {}, 90 * time.Second, true},
		{"its time is over", func(*rig) {}, 2 * time.Minute, false},
		{"coil no warmer than the air", func(r *rig) { r.temp(Coil, 6) }, tick, false},
		{"coil warmer by the margin only", func(r *rig) { r.temp(Coil, 7.5) }, tick, false},
		{"coil warmer by more than the margin", func(r *rig) { r.temp(Coil, 7.7) }, tick, true},
		{"tunnel above the crop's maximum", func(r *rig) { r.temp(Tunnel, 30); r.temp(Coil, 60) }, tick, false},
		{"battery cut off", func(r *rig) { r.st.Battery.CutOff = true; r.volts(11) }, tick, false},
		{"held", func(r *rig) { r.in.Orders = []Order{{HoldOff, time.Hour}} }, tick, false},
		{"coil probe and tank lost", func(r *rig) { r.lose(Coil, time.Hour); r.lose(Tank, time.Hour) }, tick, false},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := overrun(t)
			row.happen(r)
			r.run(row.after)
			assert.Equal(t, row.fans, r.d.Outputs.Fans > 0)
		})
	}
}

// Carrying heat with a coil that is not warm yet, the pump runs and the fans wait.
func TestFansNeverBlowCold(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name string
		bend func(*rig)
		fans bool
	}{
		{"coil as cool as the air", func(r *rig) { r.temp(Coil, 6) }, false},
		{"coil within twice the margin at the start", func(r *rig) { r.temp(Coil, 9) }, false},
		{"coil warm", func(r *rig) { r.temp(Coil, 9.1) }, true},
		{"coil probe lost, tank warm", func(r *rig) { r.lose(Coil, time.Hour) }, true},
		{"no coil probe, tank warm", func(r *rig) { r.s.Fitted.Places[Coil] = false }, true},
		{"by hand, coil cold", func(r *rig) { r.temp(Coil, 5); r.in.Orders = []Order{{RunFans, time.Minute}} }, false},
		{"tunnel unknown, coil warmer than its floor", func(r *rig) { r.lose(Tunnel, time.Hour); r.temp(Coil, 9) }, true},
		{"tunnel unknown, coil cooler than its floor", func(r *rig) { r.lose(Tunnel, time.Hour); r.temp(Coil, 7) }, false},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := wanting()
			row.bend(r)
			r.step(1)
			require.Positive(t, r.d.Outputs.Pump)
			assert.Equal(t, row.fans, r.d.Outputs.Fans > 0)
		})
	}
}

func TestFansThatTheMarginStoppedRest(t *testing.T) {
	t.Parallel()
	r := carrying(t)
	require.Positive(t, r.d.Outputs.Fans)
	r.temp(Coil, 7)
	r.step(1)
	require.Zero(t, r.d.Outputs.Fans)
	r.temp(Coil, 30)
	r.step(2)
	require.Zero(t, r.d.Outputs.Fans)
	r.step(1)
	assert.Positive(t, r.d.Outputs.Fans)
}
