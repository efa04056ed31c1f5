package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/sensors/quantity"
)

// frozen is a rig with a LiFePO4 battery in the greenhouse and a line on its charger.
func frozen(at quantity.Celsius) *rig {
	r := settledRig()
	r.s.Battery.Chemistry, r.s.Battery.Where, r.s.Battery.Placed = LFP, Greenhouse, true
	r.s.Fitted.Places[Greenhouse], r.s.Fitted.Charger = true, true
	r.temp(Greenhouse, at)
	return r
}

// LiFePO4 must not be charged below 0 °C (facts 5.4 of the reference notes, read: cell
// temperature counts, alert below +2 °C).
func TestChargerIsHeldOffInTheCold(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name  string
		alter func(*rig)
		off   bool
	}{
		{"frost", func(r *rig) { r.temp(Greenhouse, -4) }, true},
		{"just above freezing", func(r *rig) { r.temp(Greenhouse, 1.9) }, true},
		{"cool", func(r *rig) { r.temp(Greenhouse, 2.1) }, false},
		{"never read", func(r *rig) { r.in.Places[Greenhouse] = Temperature{} }, false},
		{"no line", func(r *rig) { r.s.Fitted.Charger = false }, false},
		{"lead-acid", func(r *rig) { r.s.Battery.Chemistry = AGM }, false},
		{"nothing tells its temperature", func(r *rig) { r.s.Battery.Placed = false }, false},
		{"held by hand", func(r *rig) { r.in.Orders = []Order{{HoldOff, time.Hour}} }, true},
		{"watch only", func(r *rig) { r.in.Orders = []Order{{WatchOnly, time.Hour}} }, true},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := frozen(-4)
			row.alter(r)
			r.step(3)
			assert.Equal(t, row.off, r.d.Outputs.ChargerOff)
		})
	}
}

func TestChargerComesBack(t *testing.T) {
	t.Parallel()
	r := frozen(-4)
	r.run(time.Minute)
	require.True(t, r.d.Outputs.ChargerOff)
	r.temp(Greenhouse, 2.5)
	r.run(10 * time.Minute)
	assert.True(t, r.d.Outputs.ChargerOff, "a kelvin of hysteresis")
	r.lose(Greenhouse, time.Hour)
	r.run(10 * time.Minute)
	assert.True(t, r.d.Outputs.ChargerOff, "a lost probe does not warm the battery")
	r.temp(Greenhouse, 3.5)
	r.step(1)
	assert.False(t, r.d.Outputs.ChargerOff)
	after := r.st.Restarted(time.Hour, true)
	assert.Equal(t, Charger{}, after.Charger, "at rest while the daemon was down")
}

func TestColdChargeSaysWhatTheLineDoes(t *testing.T) {
	t.Parallel()
	r := frozen(-4)
	r.in.Meter.Amps = 2
	r.run(2 * time.Minute)
	v := see(&r.s, &r.st, &r.in)
	assert.Contains(t, coldChargeText(&v), "held off by this program, and current flows all the same")
	_, active := r.alert(AlertColdCharge)
	assert.True(t, active)
}

// Whatever the temperatures: off in every step below 2 °C, free in every step above 3 °C
// once a minute of holding has passed.
func TestChargerPromises(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := frozen(10)
		heldFor := time.Duration(0)
		for range 60 {
			at := quantity.Celsius(rapid.Float64Range(-3, 6).Draw(t, "cell"))
			r.temp(Greenhouse, at)
			before := r.d.Outputs.ChargerOff
			r.step(1)
			off := r.d.Outputs.ChargerOff
			switch {
			case at < 2:
				require.True(t, off, "at %v", at)
			case at >= 3 && (!before || heldFor >= time.Minute):
				require.False(t, off, "at %v", at)
			case before && heldFor < time.Minute-tick:
				require.True(t, off, "not to and fro")
			}
			heldFor += tick
			if !before || !off {
				heldFor = 0
			}
		}
	})
}
