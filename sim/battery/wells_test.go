package battery_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/battery"
)

// kinetic is the battery of the worked capacities: c 0.3, k 0.6/h, 22 Ah in all, and
// nothing else that would move them.
func kinetic() battery.Params {
	p := battery.Typical(battery.Flooded, 20)
	p.Capacity, p.Ready, p.Exchange, p.SelfDischarge = 22, 0.3, 0.6, 0
	return p
}

// Computed outside this program from the published equation of Manwell & McGowan 1993:
// what 1, 5, 10 and 20 h draw of such a battery.
var worked = map[time.Duration]float64{time.Hour: 8.0, 5 * time.Hour: 12.7, 10 * time.Hour: 15.9, 20 * time.Hour: 18.4}

func TestCapacityByFormula(t *testing.T) {
	t.Parallel()
	for in, want := range worked {
		assert.InEpsilon(t, want, float64(kinetic().Drawn(in, 25)), 0.01, "in %v", in)
		assert.InEpsilon(t, 0.825*want, float64(kinetic().Drawn(in, 0)), 0.01, "in %v at 0 °C", in)
	}
}

func TestCapacityByStepping(t *testing.T) {
	t.Parallel()
	for in, want := range worked {
		b, err := battery.New(kinetic(), 1)
		require.NoError(t, err)
		amps := quantity.Ampere(want / in.Hours())
		hours := hoursAt(t, b, amps, 25)
		assert.InEpsilon(t, want, float64(b.Book().Out), 0.01, "in %v", in)
		assert.InDelta(t, in.Hours(), hours, 0.01*in.Hours()+1.0/60, "in whole minutes")
	}
}

// The published differential equations by a third-order Runge-Kutta method of small
// steps, written here, beside the exact step of the model.
func TestExactStep(t *testing.T) {
	t.Parallel()
	const c, k = 0.3, 0.6
	rate := func(ready, bound, amps float64) (float64, float64) {
		across := k * ((1-c)*ready - c*bound)
		return -amps - across, across
	}
	ready, bound := c*22.0, (1-c)*22.0
	b, err := battery.New(kinetic(), 1)
	require.NoError(t, err)
	for i := range 40 {
		amps := 2 + 2*math.Sin(float64(i)) // 0..4 A, half an hour each
		for range 3000 {
			const h = 0.5 / 3000
			r1, d1 := rate(ready, bound, amps)
			r2, d2 := rate(ready+h/2*r1, bound+h/2*d1, amps)
			r3, d3 := rate(ready-h*r1+2*h*r2, bound-h*d1+2*h*d2, amps)
			ready, bound = ready+h/6*(r1+4*r2+r3), bound+h/6*(d1+4*d2+d3)
		}
		if ready < 0.2 {
			require.Greater(t, i, 5)
			break
		}
		require.InDelta(t, -amps, float64(b.Step(30*time.Minute, -quantity.Ampere(amps), 25)), 1e-12)
		assert.InDelta(t, ready+bound, float64(b.Charge())*22, 1e-9)
		// Within a minute the ready charge can go, half of it on the mean, and what follows.
		follows := k * (c*bound - (1-c)*ready/2) / 60
		assert.InDelta(t, ready+follows, float64(b.Available(25)), 0.002)
	}
}

func TestRecoversAtRest(t *testing.T) {
	t.Parallel()
	for _, kind := range []battery.Chemistry{battery.Flooded, battery.AGM} {
		b := build(t, kind, 30, 1)
		hoursAt(t, b, 20, 25)
		empty, charge := b.Available(25), b.Charge()
		assert.Less(t, float64(empty), 0.6)
		assert.Greater(t, float64(charge), 0.3, "a heavy load leaves charge behind")
		for range 5 * 60 {
			b.Step(time.Minute, 0, 25)
		}
		assert.Greater(t, float64(b.Available(25)), 3.0, "%v has recovered", kind)
		assert.LessOrEqual(t, b.Charge(), charge, "out of nothing comes nothing")
	}
	lfp := build(t, battery.LiFePO4, 30, 1)
	hours := hoursAt(t, lfp, 20, 25)
	assert.InDelta(t, 1.5, hours, 0.06, "LiFePO4 gives nearly all of it at once")
}

// The usual datasheet ratios to which the wells were fitted, from memory: 1 h and 5 h of
// the 20 h capacity; and the 10 h ratio, to which they were not, 93 to 95 %.
func TestTypicalRatios(t *testing.T) {
	t.Parallel()
	for kind, want := range map[battery.Chemistry][2]float64{
		battery.Flooded: {0.55, 0.82}, battery.AGM: {0.65, 0.87}, battery.LiFePO4: {0.98, 0.995},
	} {
		p := battery.Typical(kind, 50)
		rated := float64(p.Drawn(20*time.Hour, 25))
		assert.InDelta(t, 50, rated, 1e-9)
		assert.InDelta(t, want[0], float64(p.Drawn(time.Hour, 25))/rated, 0.006, "%v, 1 h", kind)
		assert.InDelta(t, want[1], float64(p.Drawn(5*time.Hour, 25))/rated, 0.006, "%v, 5 h", kind)
		if kind != battery.LiFePO4 {
			assert.InDelta(t, 0.94, float64(p.Drawn(10*time.Hour, 25))/rated, 0.015, "%v, 10 h", kind)
		}
	}
}
