package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// The worked figures of the worthwhile-heat floor ΔT = K·P/G: the project's
// reference notes, facts 1.5, computed there apart from this code.
func TestWorthwhileHeat(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name             string
		worth, draw, con float64
		stop, want       quantity.Kelvin
	}{
		{"strong coil", 5, 10, 23.4, 0, 2.1},
		{"weak coil", 10, 15, 8, 0, 18.8},
		{"the grower's stop is larger", 5, 10, 23.4, 3, 3},
		{"conductance not known", 5, 10, 0, 3, 3},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			c := Carry{Stop: row.stop, Worth: row.worth, Draw: quantity.Watt(row.draw), Conductance: quantity.WattPerKelvin(row.con)}
			assert.InDelta(t, float64(row.want), float64(c.stopDifference()), 0.051, "given to a tenth")
		})
	}
}

// Bench: minimum 5, comfort 12, start 9 K, stop max(3, 4·14/20 = 2.8) = 3 K.
func TestComfort(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name         string
		tank, tunnel quantity.Celsius
		start, goes  bool // from rest; once carrying
	}{
		{"start difference reached", 17, 8, true, true},
		{"just under the start difference", 16.9, 8, false, true},
		{"above the stop difference", 11.1, 8, false, true},
		{"at the stop difference", 11, 8, false, false},
		{"crop cold, tank usefully warmer", 8.9, 4.9, true, true},
		{"crop cold, tank not usefully warmer", 8.8, 4.9, false, true},
		{"crop cold, tank at the stop difference", 7.9, 4.9, false, false},
		{"crop not cold, small difference", 9.2, 5, false, true},
		{"tunnel a kelvin under comfort", 60, 10.9, true, true},
		{"tunnel within the band under comfort", 60, 11.5, false, true},
		{"tunnel at comfort", 60, 12, false, false},
		{"tank colder than the tunnel", 3, 4, false, false},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := settledRig()
			r.temp(Tank, row.tank)
			r.temp(Tunnel, row.tunnel)
			r.step(1)
			assert.Equal(t, row.start, r.d.Outputs.Pump > 0, "from rest: %v", r.d.Reason)

			r = carrying(t)
			r.flowing(30) // past the minimum run
			r.temp(Tank, row.tank)
			r.temp(Tunnel, row.tunnel)
			r.step(1)
			assert.Equal(t, row.goes, r.d.Outputs.Pump > 0, "once carrying: %v", r.d.Reason)
		})
	}
}

func TestReserve(t *testing.T) {
	t.Parallel()
	r := carrying(t)
	r.flowing(30)
	share := func(x quantity.Share) {
		r.st.Charge = Charge{Share: x, Band: 0.01, OK: true}
		r.step(1)
	}
	share(0.51)
	require.Equal(t, Carrying, r.d.Mode)
	share(0.49)
	require.Equal(t, BatteryReserve, r.d.Reason)
	assert.Zero(t, r.d.Outputs.Pump)
	assert.Zero(t, r.d.Outputs.Fans, "no overrun at the reserve")
	r.run(time.Hour) // the minimum rest is over
	share(0.57)
	require.Equal(t, BatteryReserve, r.d.Reason, "hysteresis")
	share(0.59)
	assert.Equal(t, Carrying, r.d.Mode)

	share(0.49)
	assert.Equal(t, MinimumRun, r.d.Reason, "the reserve is comfort's: it waits out the minimum run")
}
