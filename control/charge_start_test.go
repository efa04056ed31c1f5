package control

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// One sample, however wrong, crosses no threshold: not cut-off, not reserve,
// not reconnect; not as the first after a start, nor if the meter repeats it.
func TestOneNoisySampleCrossesNothing(t *testing.T) {
	t.Parallel()
	for _, m := range []Meter{
		{Volts: 9, Amps: -0.1}, {Volts: 12.75, Amps: -95}, {Volts: 12.75, Amps: 95}, {Volts: 15, Amps: 30}, {Volts: 0.5, Amps: -99},
	} {
		t.Run(fmt.Sprintf("%v %v", m.Volts, m.Amps), func(t *testing.T) {
			t.Parallel()
			noisy := m
			noisy.HasVolts, noisy.HasAmps = true, true
			for name, at := range map[string]quantity.Share{"just above the reserve": 0.501, "just below recovery": 0.579} {
				r := charged(at, 0.02)
				sparing := at > 0.55
				r.st.Battery.Sparing = sparing
				calm := r.in.Meter
				for _, age := range []time.Duration{0, tick, 2 * tick} {
					r.in.Meter = noisy
					r.in.Meter.Age = age
					r.step(1)
					assert.Equal(t, sparing, r.st.Battery.Sparing, name)
					assert.False(t, r.st.Battery.CutOff)
				}
				r.in.Meter = calm
				r.step(6)
				assert.Equal(t, sparing, r.st.Battery.Sparing, name)
				assert.False(t, r.st.Battery.CutOff)
			}
			fresh := newRig()
			calm := fresh.in.Meter
			fresh.in.Meter = noisy
			fresh.step(1)
			fresh.in.Meter = calm
			fresh.step(6)
			assert.False(t, fresh.st.Battery.Sparing, "first of all samples")
			assert.InDelta(t, 0.82, float64(fresh.st.Charge.Share), 0.05)
		})
	}
}

// At a start nothing is known of what went before: the band must hold whatever
// truth could show this voltage.
func TestSeedIsHonest(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name        string
		chemistry   Chemistry
		volts       quantity.Volt
		amps        quantity.Ampere
		least, most quantity.Share // truths that could look like this
	}{
		{"at rest", AGM, 12.3, 0, 0.40, 0.55},
		{"soon after charging: surface charge", AGM, 12.8, 0, 0.65, 0.98},
		{"charging hard at noon", AGM, 14.2, 3, 0.3, 1},
		{"charging, still low", AGM, 12.4, 2, 0.1, 0.55},
		{"loaded", AGM, 12.2, -1.5, 0.35, 0.55},
		{"LFP in the middle", LFP, 13.0, 0, 0.3, 0.9},
		{"LFP charging", LFP, 13.9, 5, 0.3, 1},
		{"LFP a little after charging", LFP, 13.2, 0, 0.6, 1},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := newRig()
			r.s.Battery.Chemistry = row.chemistry
			r.in.Meter.Volts, r.in.Meter.Amps = row.volts, row.amps
			r.step(3)
			c := r.st.Charge
			require.True(t, c.OK)
			assert.LessOrEqual(t, float64(c.Share-c.Band), float64(row.least))
			assert.GreaterOrEqual(t, float64(c.Share+c.Band), float64(row.most)-1e-9)
			assert.LessOrEqual(t, float64(c.Band), 0.5)
		})
	}
}

func TestUnmeasuredBatteryIsGivenUp(t *testing.T) {
	t.Parallel()
	r := charged(0.8, 0.1)
	r.in.Meter.Age = time.Hour
	r.run(7 * time.Hour)
	require.True(t, r.st.Charge.OK)
	assert.InDelta(t, 0.45, float64(r.st.Charge.Band), 0.01)
	r.run(3 * time.Hour)
	assert.False(t, r.st.Charge.OK)
}
