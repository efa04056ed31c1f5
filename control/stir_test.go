package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// heats lets the tank rise by the K a minute given, for d.
func (r *rig) heats(perMinute float64, d time.Duration) {
	for range int(d / tick) {
		r.in.Places[Tank].Value += quantity.Celsius(perMinute * tick.Minutes())
		r.step(1)
	}
}

func TestStir(t *testing.T) {
	t.Parallel()
	warm := func() *rig { // no comfort heat is wanted
		r := newRig()
		r.temp(Tunnel, 20)
		r.temp(Tank, 30)
		r.s.Proof.PumpCurrent, r.s.Proof.Difference = 0, 50 // the loop is not judged
		r.run(12 * time.Minute)
		return r
	}
	t.Run("on a rising tank, fans off, for its time", func(t *testing.T) {
		t.Parallel()
		r := warm()
		var stirred, fans time.Duration
		for range 360 { // an hour
			r.heats(0.1, tick)
			if r.d.Mode == Stirring {
				stirred += tick
				fans += time.Duration(float64(r.d.Outputs.Fans) * float64(tick))
			}
		}
		assert.InDelta(t, 3*60/23.0, stirred.Minutes(), 1.5, "three minutes in each twenty-three")
		assert.Zero(t, fans)
	})
	t.Run("not on a resting tank", func(t *testing.T) {
		t.Parallel()
		r := warm()
		assert.Empty(t, r.starts(3*time.Hour))
	})
	t.Run("not on a falling tank", func(t *testing.T) {
		t.Parallel()
		r := warm()
		r.heats(-0.1, 2*time.Hour)
		assert.Equal(t, Resting, r.d.Mode)
	})
	t.Run("not at the reserve", func(t *testing.T) {
		t.Parallel()
		r := warm()
		r.st.Battery.Sparing, r.st.Charge = true, Charge{Share: 0.5, Band: 0.01, OK: true}
		for range 360 {
			r.heats(0.1, tick)
			require.Zero(t, r.d.Outputs.Pump)
		}
	})
	t.Run("fans by hand wait for its end", func(t *testing.T) {
		t.Parallel()
		r := warm()
		r.temp(Coil, 29)
		r.st.Trend.Rising, r.st.Stir.Since = true, time.Hour
		r.step(1)
		require.Equal(t, Stirring, r.d.Mode)
		r.in.Orders = []Order{{RunFans, time.Hour}}
		r.step(1)
		assert.Zero(t, r.d.Outputs.Fans)
		r.run(3 * time.Minute)
		assert.Equal(t, ByHand, r.d.Mode)
		assert.Positive(t, r.d.Outputs.Fans)
	})
	t.Run("ends when the tank is lost", func(t *testing.T) {
		t.Parallel()
		r := warm()
		r.st.Trend.Rising, r.st.Stir.Since = true, time.Hour
		r.step(1)
		require.Equal(t, Stirring, r.d.Mode)
		r.lose(Tank, time.Hour)
		r.run(3 * time.Minute)
		assert.Zero(t, r.d.Outputs.Pump)
	})
}
