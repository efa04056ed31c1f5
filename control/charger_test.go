package control

import (
	"math"
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
	r.st.Charger = Charger{Cell: 10, Seen: true} // the cell itself is mild
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
	r.st.Charger.Cell = -4
	r.run(time.Minute)
	require.True(t, r.d.Outputs.ChargerOff)
	r.temp(Greenhouse, 12)
	// First-order delay of 4 h from -4 towards 12 °C: 3 °C after 4 h x ln(16/9) = 2.3 h.
	r.run(2*time.Hour + 12*time.Minute)
	assert.True(t, r.d.Outputs.ChargerOff, "the air is warm, the cell is not")
	r.lose(Greenhouse, time.Hour)
	r.run(3 * time.Hour)
	assert.True(t, r.d.Outputs.ChargerOff, "a lost probe does not warm the battery")
	r.temp(Greenhouse, 12)
	r.run(12 * time.Minute)
	assert.False(t, r.d.Outputs.ChargerOff)
	r.temp(Greenhouse, 1)
	r.step(1)
	assert.True(t, r.d.Outputs.ChargerOff, "at once")
	after := r.st.Restarted(time.Hour, true)
	assert.Equal(t, Charger{}, after.Charger, "at rest while the daemon was down")
}

// Nothing is known of the night before a start: a warm noon's air proves no warm cell.
func TestChargerAfterAStart(t *testing.T) {
	t.Parallel()
	r := frozen(20)
	r.st.Charger = Charger{}
	r.step(3)
	assert.True(t, r.d.Outputs.ChargerOff)
	r.run(2 * time.Hour)
	assert.False(t, r.d.Outputs.ChargerOff)
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

// A battery with a delay of its own, of one to four hours, under frosty nights and sunny
// days: never free while its cell is below 0 °C, and free for most of the warm hours of a
// mild week.
func TestNeverChargedFrozen(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		delay := rapid.Float64Range(1, 4).Draw(t, "delay, h")
		// No night colder than the start allows for.
		low := rapid.Float64Range(float64(coldStart), 10).Draw(t, "coldest air")
		swing := rapid.Float64Range(2, 15).Draw(t, "swing")
		mean := low + swing
		start := rapid.Float64Range(0, 24).Draw(t, "hour of the start")
		air := func(h float64) float64 { return mean - swing*math.Cos(2*math.Pi*(h-4)/24) }
		cell := mean - swing // as cold as the night was
		for h := start - 24; h < start; h += 0.01 {
			cell += 0.01 / delay * (air(h) - cell)
		}
		r := frozen(0)
		r.st.Charger = Charger{}
		r.in.Elapsed = time.Minute
		for m := range 4 * 24 * 60 {
			h := start + float64(m)/60
			cell += 1.0 / 60 / delay * (air(h) - cell)
			r.temp(Greenhouse, quantity.Celsius(air(h)))
			r.step(1)
			require.False(t, cell < 0 && !r.d.Outputs.ChargerOff, "hour %.1f: cell at %.1f, air at %.1f", h, cell, air(h))
			if mean-swing > 4 && m > 24*60 {
				require.False(t, r.d.Outputs.ChargerOff, "a mild week")
			}
		}
	})
}
