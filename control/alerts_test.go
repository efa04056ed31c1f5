package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEveryAlertIsDeclared(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for c := range AlertCodes() {
		row := alertTable[c]
		assert.NotEmpty(t, row.code)
		assert.NotEmpty(t, row.title)
		r := settledRig()
		v := see(&r.s, &r.st, &r.in)
		assert.NotEmpty(t, v.tells(c, Tank), "%s has no text", row.code)
		i := slot(c, Coil)
		back, _ := slotOf(i)
		assert.Equal(t, c, back, "slot %d", i)
		assert.False(t, seen[row.code], "twice: "+row.code)
		assert.True(t, row.cause == noCause || row.cause < c, "%s: a cause is judged before what it suppresses", row.code)
		seen[row.code] = true
	}
	assert.Len(t, seen, int(alertCodes))
}

func TestAlertWaitsUntilItStands(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.temp(Tunnel, 4)
	changes := r.run(9 * time.Minute)
	r.temp(Tunnel, 5)
	changes = append(changes, r.step(1)...)
	r.temp(Tunnel, 4)
	changes = append(changes, r.run(10*time.Minute)...)
	require.False(t, raised(changes, AlertTunnelCold), "a break starts the wait anew")
	require.True(t, raised(r.step(1), AlertTunnelCold))

	r.temp(Tunnel, 5.5)
	assert.False(t, changed(r.run(10*time.Minute), AlertTunnelCold, Cleared), "hysteresis of a kelvin")
	r.lose(Tunnel, time.Hour)
	assert.False(t, changed(r.run(10*time.Minute), AlertTunnelCold, Cleared), "not over because the probe is lost")
	r.temp(Tunnel, 6)
	assert.False(t, changed(r.run(29*time.Minute), AlertTunnelCold, Cleared), "a run of the pump may end it for minutes")
	assert.True(t, changed(r.run(2*time.Minute), AlertTunnelCold, Cleared))
}

func TestAlertRepeats(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.s.Fitted.Contactor = false
	r.temp(Tank, 84)
	r.temp(Tunnel, 32)
	changes := r.run(95 * time.Minute)
	n := 0
	for _, ch := range changes {
		if ch.Code == AlertTankHot && ch.Kind == Repeated {
			n++
		}
	}
	assert.Equal(t, 3, n, "every half hour")
}

func TestAlertSuppressedByItsCause(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.temp(Tank, 91)
	changes := r.step(1)
	require.True(t, raised(changes, AlertTankDanger))
	require.False(t, raised(changes, AlertTankHot))
	r.temp(Tank, 85)
	changes = r.step(1)
	assert.True(t, changed(changes, AlertTankDanger, Cleared))
	assert.True(t, raised(changes, AlertTankHot), "the cause is over, the tank is still hot")

	r = settledRig()
	r.st.Battery.CutOff, r.st.Battery.Sparing = true, true
	r.st.Charge = Charge{Share: 0.3, Band: 0.1, OK: true}
	r.volts(11.6)
	assert.False(t, raised(r.run(10*time.Minute), AlertBatteryLow))

	r = settledRig()
	r.lose(Coil, time.Hour)
	r.in.Places[Coil].Trouble = Doubted
	changes = r.run(10 * time.Minute)
	assert.True(t, raised(changes, AlertProbeLost))
	assert.False(t, raised(changes, AlertProbeDoubted))
}

func TestDoubtedProbeIsSaid(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.in.Places[Tunnel].Trouble, r.in.Places[Tunnel].Cause = Doubted, "jumped"
	changes := r.run(50 * time.Second)
	require.False(t, raised(changes, AlertProbeDoubted))
	changes = r.run(20 * time.Second)
	require.True(t, raised(changes, AlertProbeDoubted))
	assert.Equal(t, Tunnel, changes[0].Place)
	assert.Contains(t, changes[0].Text, "jumped")
}

func TestBuzzer(t *testing.T) {
	t.Parallel()
	r := settledRig()
	require.False(t, r.d.Outputs.Buzzer)
	r.temp(Tunnel, 4)
	sounded := 0
	for range 72 { // twelve minutes
		r.step(1)
		if r.d.Outputs.Buzzer {
			sounded++
		}
	}
	assert.Equal(t, 1, sounded, "a chirp lasts one step")
	r.temp(Tank, 84)
	for range 72 {
		r.step(1)
		require.True(t, r.d.Outputs.Buzzer, "steady")
	}
	r.temp(Tank, 70)
	r.step(1)
	assert.False(t, r.d.Outputs.Buzzer)
}

func TestHousekeepingAlerts(t *testing.T) {
	t.Parallel()
	rows := []struct {
		code  AlertCode
		bend  func(*rig)
		after time.Duration
	}{
		{AlertRecordFails, func(r *rig) { r.in.RecordFails = true }, time.Minute},
		{AlertBrokerFails, func(r *rig) { r.in.BrokerFails = true }, 2 * time.Minute},
		{AlertClockUntrusted, func(r *rig) { r.in.ClockTrusted = false }, 10 * time.Minute},
		{AlertTunnelHot, func(r *rig) { r.temp(Tunnel, 31) }, 5 * time.Minute},
	}
	for _, row := range rows {
		t.Run(row.code.String(), func(t *testing.T) {
			t.Parallel()
			r := settledRig()
			calm := r.in
			row.bend(r)
			require.False(t, raised(r.run(row.after), row.code))
			require.True(t, raised(r.step(1), row.code))
			r.in = calm
			assert.True(t, changed(r.step(1), row.code, Cleared))
		})
	}
}

// After a restart an alert is neither raised again nor cleared for lack of
// readings.
func TestAlertsOutliveARestart(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.temp(Tank, 84)
	r.lose(Coil, time.Hour)
	r.in.Meter.Age = time.Minute
	r.run(2 * time.Minute)
	require.True(t, r.active(AlertTankHot) && r.active(AlertBatteryUnknown))
	r.st = stored(t, r.st).Restarted(time.Minute, true)
	full := r.in
	r.in.Places, r.in.Meter = [Places]Temperature{}, Meter{}
	changes := r.step(2)
	r.in = full
	changes = append(changes, r.step(2)...)
	for _, c := range []AlertCode{AlertTankHot, AlertBatteryUnknown, AlertProbeLost} {
		assert.False(t, raised(changes, c) || changed(changes, c, Cleared), c.String())
	}
}
