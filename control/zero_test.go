package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"duskloop/sensors/quantity"
)

// resting is a rig at night on a battery whose draw at rest is known.
func resting(amps quantity.Ampere) *rig {
	r := settledRig()
	r.s.Battery.RestDraw, r.s.Battery.RestKnown = 0.18, true
	r.in.Meter.Amps = amps
	r.temp(Tunnel, 15)
	return r
}

func TestZeroIsLearnedAtRest(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name  string
		amps  quantity.Ampere
		alter func(*rig)
		want  float64
	}{
		{"an offset of 8 mA", -0.172, func(*rig) {}, 0.008},
		{"and the other way", -0.188, func(*rig) {}, -0.008},
		{"a load that nobody told of is real", -0.30, func(*rig) {}, 0},
		{"nothing told, nothing learned", -0.172, func(r *rig) { r.s.Battery.RestKnown = false }, 0},
		{"not from a weak light", -0.172, func(r *rig) { r.in.Meter.Volts = 13.2 }, 0},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := resting(row.amps)
			row.alter(r)
			r.run(16 * time.Hour)
			assert.InDelta(t, row.want, float64(r.st.Charge.Zero.Offset), 0.001)
		})
	}
}

// An offset that is known is taken off the count: 24 Ah, 8 mA, twelve hours make 0.4 %.
func TestOffsetLeavesTheCount(t *testing.T) {
	t.Parallel()
	count := func(known bool) float64 {
		r := resting(-0.172)
		r.s.Battery.RestKnown = known
		r.run(48 * time.Hour)
		r.st.Charge.Share, r.st.Charge.Band = 0.9, 0.01
		r.run(12 * time.Hour)
		return 0.9 - float64(r.st.Charge.Share)
	}
	assert.InDelta(t, 12*0.172/24, count(false), 1e-6)
	assert.InDelta(t, 12*0.18/24, count(true), 1e-4)
}

func TestStill(t *testing.T) {
	t.Parallel()
	off := Run{For: time.Hour}
	assert.True(t, (&State{Pump: off, Fans: off}).still())
	assert.False(t, (&State{Pump: Run{On: true, For: time.Hour}, Fans: off}).still(), "it runs")
	assert.False(t, (&State{Pump: off, Fans: Run{For: time.Minute}}).still(), "it runs down")
	assert.True(t, (&State{Pump: Run{On: true}, Hand: Hand{Watch: time.Hour}}).still(), "only wished")
}
