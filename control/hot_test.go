package control

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func settledRig() *rig {
	r := newRig()
	r.run(12 * time.Minute)
	return r
}

func TestHotIsAnsweredInTheSameTick(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name string
		bend func(*rig)
		pump bool
	}{
		{"from rest", func(*rig) {}, true},
		{"at the battery's reserve", func(r *rig) { r.st.Charge.Share = 0.2; r.st.Battery.Sparing = true }, true},
		{"battery unknown", func(r *rig) { r.in.Meter.Age = time.Minute }, true},
		{"just after a comfort run", func(r *rig) { r.st.Pump = Run{For: tick} }, true},
		{"just after a frost guard", func(r *rig) { r.st.Pump = Run{For: tick, Safety: true} }, true},
		{"below cut-off", func(r *rig) { r.st.Battery.CutOff = true; r.volts(11.4) }, false},
		{"held by hand", func(r *rig) { r.in.Orders = []Order{{HoldOff, time.Hour}} }, false},
		{"watch only", func(r *rig) { r.in.Orders = []Order{{WatchOnly, time.Hour}} }, false},
		{"level low", func(r *rig) { r.in.Level = LevelLow }, false},
		{"slush", func(r *rig) { r.temp(Coil, -13) }, false},
		{"tunnel above the crop's maximum", func(r *rig) { r.temp(Tunnel, 31) }, false},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := settledRig()
			require.True(t, r.d.Outputs.Closed)
			row.bend(r)
			r.temp(Tank, 82)
			changes := r.step(1)
			assert.Equal(t, row.pump, r.d.Outputs.Pump > 0, r.d.Reason.String())
			assert.False(t, r.d.Outputs.Closed, "contactor")
			assert.True(t, r.d.Outputs.Buzzer, "buzzer")
			require.True(t, raised(changes, AlertTankHot), "alert")
			text := textOf(changes, AlertTankHot)
			assert.Equal(t, !row.pump, strings.Contains(text, "NOT being shed") || strings.Contains(text, "Shedding waits"), text)
		})
	}
}

func TestShedGoesOnDownToTheCutOff(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.st.Charge.Share, r.st.Battery.Sparing = 0.2, true
	r.temp(Tank, 83)
	r.volts(12.1)
	r.flowing(360)
	require.Equal(t, Shedding, r.d.Mode)
	r.volts(11.6)
	r.flowing(6)
	assert.Equal(t, BatteryCutOff, r.d.Reason)
	assert.False(t, r.d.Outputs.Closed)
}

func TestShedWaitsForTheCropUntilDanger(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.temp(Tunnel, 31)
	r.temp(Coil, 31)
	r.temp(Tank, 85)
	changes := r.step(1)
	require.Equal(t, TankHotWaits, r.d.Reason)
	assert.Zero(t, r.d.Outputs.Pump)
	assert.Contains(t, textOf(changes, AlertTankHot), "open the tunnel")

	r.temp(Tunnel, 29.5)
	r.step(1)
	require.Equal(t, TankHotWaits, r.d.Reason, "a kelvin of hysteresis")
	r.temp(Tunnel, 31)
	r.temp(Tank, 90)
	changes = r.step(1)
	require.Equal(t, TankDanger, r.d.Reason, "people before plants")
	assert.Positive(t, r.d.Outputs.Pump)
	require.True(t, raised(changes, AlertTankDanger))
	assert.Contains(t, textOf(changes, AlertTankDanger), "open the tunnel")
	assert.Equal(t, Emergency, AlertTankDanger.Severity())

	r.temp(Tank, 86)
	r.temp(Coil, 80)
	r.run(time.Minute)
	assert.Equal(t, TankHotWaits, r.d.Reason, "danger ends by the hysteresis")
	assert.Zero(t, r.d.Outputs.Fans, "no overrun into a tunnel that is too hot")
}

func TestContactorClosesLate(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name   string
		then   func(*rig)
		wait   time.Duration
		closed bool
	}{
		{"below by less than the hysteresis", func(r *rig) { r.temp(Tank, 78.5) }, time.Hour, false},
		{"below by the hysteresis, minimum open time not over", func(r *rig) { r.temp(Tank, 78) }, 4 * time.Minute, false},
		{"below by the hysteresis, minimum open time over", func(r *rig) { r.temp(Tank, 78) }, 6 * time.Minute, true},
		{"tank unknown", func(r *rig) { r.lose(Tank, time.Hour) }, time.Hour, false},
		{"a doubted reading would be hot", func(r *rig) {
			r.temp(Tank, 60)
			r.in.Places[Tank].Trouble, r.in.Places[Tank].Suspect = Doubted, 85
		}, time.Hour, false},
		{"level low", func(r *rig) { r.temp(Tank, 60); r.in.Level = LevelLow }, time.Hour, false},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := settledRig()
			r.temp(Tank, 83)
			r.step(1)
			require.False(t, r.d.Outputs.Closed)
			row.then(r)
			r.run(row.wait)
			assert.Equal(t, row.closed, r.d.Outputs.Closed)
		})
	}
}

// A tank that was never hot but unknown closes below by the hysteresis too.
func TestContactorAfterAnUnknownTank(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.lose(Tank, time.Minute)
	r.step(1)
	require.False(t, r.d.Outputs.Closed)
	r.temp(Tank, 80)
	r.run(time.Hour)
	assert.False(t, r.d.Outputs.Closed)
	r.temp(Tank, 77)
	r.step(1)
	assert.True(t, r.d.Outputs.Closed)
}

func TestNoContactorFitted(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.s.Fitted.Contactor = false
	r.temp(Tank, 83)
	changes := r.step(1)
	assert.False(t, r.d.Outputs.Closed)
	assert.Contains(t, textOf(changes, AlertTankHot), "no contactor: the panel goes on heating")
}

// A reading of 85.000 °C that is doubted may be the truth: it is never lost on
// the way to the alarm.
func TestDoubtedHeatIsNotLost(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.in.Places[Tank].Trouble, r.in.Places[Tank].Suspect = Doubted, 85
	r.in.Places[Tank].Cause = "power-on value"
	changes := r.step(1)
	assert.False(t, r.d.Outputs.Closed)
	assert.True(t, r.d.Outputs.Buzzer)
	require.True(t, raised(changes, AlertTankUnknown))
	assert.Contains(t, textOf(changes, AlertTankUnknown), "85 °C")
	r.temp(Tank, 20)
	assert.True(t, changed(r.step(1), AlertTankUnknown, Cleared))
}

func textOf(changes []AlertChange, c AlertCode) string {
	for _, ch := range changes {
		if ch.Code == c && ch.Kind != Cleared {
			return ch.Text
		}
	}
	return ""
}
