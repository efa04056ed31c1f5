package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// heated is a rig at rest with a closed contactor and an element of 1.15 ohm behind a
// cable of 0.05, which takes 200 W in full sun and 40 W in a bright one.
func heated() *rig {
	r := settledRig()
	r.s.Element = Element{Resistance: 1.15, Cable: 0.05, FullSun: 200, Bright: 40, Sign: 1.7, Heat: 80e3, Loss: 0.4}
	r.s.Proof.PumpCurrent, r.s.Proof.Difference = 0, 50 // the loop is not judged
	r.temp(Tunnel, 20)
	r.temp(Tank, 25)
	r.run(12 * time.Minute)
	return r
}

// By hand: 12 V over 1.2 ohm are 10 A, and 10 A through 1.15 ohm are 115 W.
func TestHeatingPower(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name  string
		alter func(*rig)
		want  float64
		known bool
	}{
		{"in sun", func(*rig) {}, 115, true},
		{"at night", func(r *rig) { r.in.Panel.Volts = 0 }, 0, true},
		{"an offset below zero", func(r *rig) { r.in.Panel.Volts = -0.3 }, 0, true},
		{"contactor open", func(r *rig) { r.st.Contactor.Closed = false }, 0, true},
		{"nothing draws", func(r *rig) { r.in.Panel.Volts = 22 }, 0, true},
		{"found not to heat", func(r *rig) { r.st.Sunned.Fails = true }, 0, false},
		{"too old", func(r *rig) { r.in.Panel.Age = time.Hour }, 0, false},
		{"not measured", func(r *rig) { r.in.Panel.Has = false }, 0, false},
		{"element not told", func(r *rig) { r.s.Element.Resistance = 0 }, 0, false},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := heated()
			require.True(t, r.st.Contactor.Closed)
			r.in.Panel = Panel{Volts: 12, Has: true}
			row.alter(r)
			v := see(&r.s, &r.st, &r.in)
			watts, known := v.heating()
			assert.Equal(t, row.known, known)
			assert.InDelta(t, row.want, float64(watts), 1e-9)
		})
	}
}

// The panel's voltage drives the stir: it says at once what the tank shows later, and a
// tank that rises for another reason is not stirred.
func TestPanelDrivesTheStir(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name  string
		volts quantity.Volt
		rise  float64 // K a minute
		stirs bool
	}{{"sun on a tank that does not show it yet", 12, 0, true}, {"no sun", 0.5, 0.1, false}} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := heated()
			r.in.Panel = Panel{Volts: row.volts, Has: true}
			stirred := false
			for range 180 {
				r.heats(row.rise, tick)
				stirred = stirred || r.d.Mode == Stirring
			}
			assert.Equal(t, row.stirs, stirred)
		})
	}
}

func TestElementNotHeating(t *testing.T) {
	t.Parallel()
	watch := func(r *rig, perMinute float64, d time.Duration) bool {
		fails := false
		for range int(d / tick) {
			r.heats(perMinute, tick)
			_, active := r.alert(AlertNotHeating)
			fails = fails || active
		}
		return fails
	}
	t.Run("115 W and nothing comes of it", func(t *testing.T) {
		t.Parallel()
		r := heated()
		r.in.Panel = Panel{Volts: 12, Has: true}
		assert.True(t, watch(r, 0, 4*time.Hour))
		assert.Contains(t, notHeatingText(ptr(see(&r.s, &r.st, &r.in))), "direct current draws arcs")
	})
	t.Run("115 W warm 80 kJ/K by 0.086 K a minute", func(t *testing.T) {
		t.Parallel()
		r := heated()
		r.in.Panel = Panel{Volts: 12, Has: true}
		assert.False(t, watch(r, 0.086, 5*time.Hour))
	})
	t.Run("nothing draws: said within the half hour", func(t *testing.T) {
		t.Parallel()
		r := heated()
		r.in.Panel = Panel{Volts: 22, Has: true}
		assert.True(t, watch(r, 0, 30*time.Minute))
		assert.Contains(t, notHeatingText(ptr(see(&r.s, &r.st, &r.in))), "nothing draws")
	})
	t.Run("a tank that warms proves the file's panel wrong, and is stirred", func(t *testing.T) {
		t.Parallel()
		r := heated()
		r.in.Panel = Panel{Volts: 22, Has: true}
		stirred := false
		for range 5 * 360 {
			assert.False(t, watch(r, 0.1, tick))
			stirred = stirred || r.d.Mode == Stirring
		}
		assert.True(t, stirred)
	})
	t.Run("at night nothing is due", func(t *testing.T) {
		t.Parallel()
		r := heated()
		r.in.Panel = Panel{Volts: 0.2, Has: true}
		assert.False(t, watch(r, -0.01, 24*time.Hour))
	})
	t.Run("without the panel's voltage it takes days", func(t *testing.T) {
		t.Parallel()
		r := heated()
		r.in.Meter.Amps, r.in.Meter.Volts = 3, 13.3
		assert.False(t, watch(r, 0, 30*time.Hour), "not on one day")
		assert.True(t, watch(r, 0, 10*time.Hour))
	})
	t.Run("nor where no panel shows the sun", func(t *testing.T) {
		t.Parallel()
		r := heated()
		assert.False(t, watch(r, 0, 72*time.Hour))
	})
	t.Run("it is over when the tank takes heat again", func(t *testing.T) {
		t.Parallel()
		r := heated()
		r.in.Panel = Panel{Volts: 12, Has: true}
		require.True(t, watch(r, 0, 4*time.Hour))
		watch(r, 0.086, 5*time.Hour)
		_, active := r.alert(AlertNotHeating)
		assert.False(t, active)
	})
}

func ptr[T any](x T) *T { return &x }

// alert is the state of an alert of no place.
func (r *rig) alert(c AlertCode) (AlertState, bool) {
	a := r.st.Alerts[slot(c, Places)]
	return a, a.Active
}
