package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The bench's mix freezes at -12 °C and the guard's margin is 3 K.
func TestFrostGuard(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name  string
		bend  func(*rig)
		mode  Mode
		pump  bool
		alert bool // after two minutes
	}{
		{"coil just outside the margin", func(r *rig) { r.temp(Coil, -8.9) }, Resting, false, false},
		{"coil at the margin", func(r *rig) { r.temp(Coil, -9) }, Guarding, true, false},
		{"return at the margin", func(r *rig) { r.s.Fitted.Places[Return] = true; r.temp(Return, -9) }, Guarding, true, false},
		{"at the battery's reserve", func(r *rig) { r.temp(Coil, -9); r.st.Charge.Share = 0.2; r.volts(12.1) }, Guarding, true, false},
		{"tank as cold as the coil", func(r *rig) { r.temp(Coil, -9); r.temp(Tank, -9) }, Resting, false, true},
		{"the tank itself is the coldest", func(r *rig) { r.temp(Coil, -8); r.temp(Tank, -10) }, Resting, false, true},
		{"tank unknown", func(r *rig) { r.temp(Coil, -9); r.lose(Tank, time.Hour) }, Resting, false, true},
		{"below cut-off", func(r *rig) { r.temp(Coil, -9); r.st.Battery.CutOff = true; r.volts(11.4) }, Halted, false, true},
		{"held by hand", func(r *rig) { r.temp(Coil, -9); r.in.Orders = []Order{{HoldOff, time.Hour}} }, Held, false, true},
		{"watch only", func(r *rig) { r.temp(Coil, -9); r.in.Orders = []Order{{WatchOnly, time.Hour}} }, Guarding, false, true},
		{"slush", func(r *rig) { r.temp(Coil, -12) }, Halted, false, true},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := settledRig()
			r.s.Proof.PumpCurrent = 0 // and so is not judged here
			r.temp(Tunnel, -6)
			r.temp(Tank, -5.5) // warmer than the coil, too cool for comfort
			r.s.Proof.Difference = 50
			r.temp(Coil, -6)
			r.step(1)
			row.bend(r)
			changes := r.step(1)
			assert.Equal(t, row.mode.String(), r.d.Mode.String())
			assert.Equal(t, row.pump, r.d.Outputs.Pump > 0)
			assert.Zero(t, r.d.Outputs.Fans)
			changes = append(changes, r.run(2*time.Minute)...)
			assert.Equal(t, row.alert, raised(changes, AlertNearFreezing), textOf(changes, AlertNearFreezing))
		})
	}
}

func TestFrostGuardEnds(t *testing.T) {
	t.Parallel()
	guarding := func(t *testing.T) *rig {
		r := settledRig()
		r.s.Proof.Difference = 50
		r.s.Proof.PumpCurrent = 0
		r.temp(Coil, -9)
		r.temp(Tank, 5)
		r.step(3)
		require.Equal(t, Guarding, r.d.Mode)
		return r
	}
	t.Run("a kelvin above the margin", func(t *testing.T) {
		t.Parallel()
		r := guarding(t)
		r.temp(Coil, -8.5)
		r.step(1)
		require.Equal(t, Guarding, r.d.Mode)
		r.temp(Coil, -7.9)
		r.step(1)
		assert.Zero(t, r.d.Outputs.Pump)
	})
	t.Run("when the tank is no warmer", func(t *testing.T) {
		t.Parallel()
		r := guarding(t)
		r.temp(Tank, -8.9)
		r.step(1)
		assert.Zero(t, r.d.Outputs.Pump)
		assert.True(t, raised(r.run(2*time.Minute), AlertNearFreezing))
	})
	t.Run("at once when the tank is lost", func(t *testing.T) {
		t.Parallel()
		r := guarding(t)
		r.lose(Tank, time.Hour)
		r.step(1)
		assert.Zero(t, r.d.Outputs.Pump)
	})
	t.Run("a hot tunnel does not keep it from a hot tank", func(t *testing.T) {
		t.Parallel()
		r := settledRig()
		r.s.Fitted.Places[Return] = true
		r.temp(Return, -9)
		r.temp(Tunnel, 31)
		r.temp(Tank, 83)
		r.step(1)
		assert.Equal(t, Guarding, r.d.Mode)
		assert.Zero(t, r.d.Outputs.Fans)
	})
}

func TestFrostAlertSaysWhatIsNotDone(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, want string }{
		{"watch", "NOT running: watch only"},
		{"hold", "NOT running: everything is held off"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := settledRig()
			r.in.Orders = []Order{{map[string]OrderKind{"watch": WatchOnly, "hold": HoldOff}[row.name], time.Hour}}
			r.temp(Coil, -9)
			r.temp(Tank, 5)
			assert.Contains(t, textOf(r.run(2*time.Minute), AlertNearFreezing), row.want)
		})
	}
}

// A probe that showed the cold and was lost does not end the alert.
func TestFrostAlertOutlastsItsProbe(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.temp(Coil, -9)
	r.temp(Tank, -9)
	require.True(t, raised(r.run(2*time.Minute), AlertNearFreezing))
	r.temp(Tank, 20)
	r.lose(Coil, time.Hour)
	r.run(time.Hour)
	assert.True(t, r.active(AlertNearFreezing))
	r.temp(Coil, 5)
	assert.True(t, changed(r.step(1), AlertNearFreezing, Cleared))
}
