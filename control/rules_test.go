package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each row bends the resting bench into one situation and says what must come
// of it within one tick.
func TestRules(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name   string
		bend   func(*rig)
		mode   Mode
		reason Reason
		pump   bool
		closed bool
	}{
		{"nothing needed", func(*rig) {}, Resting, WarmEnough, false, true},
		{"start difference reached", func(r *rig) { r.temp(Tunnel, 8); r.temp(Tank, 18) }, Carrying, Difference, true, true},
		{"difference below start", func(r *rig) { r.temp(Tunnel, 8); r.temp(Tank, 15) }, Resting, TankCool, false, true},
		{"crop cold, tank usefully warmer", func(r *rig) { r.temp(Tunnel, 4); r.temp(Tank, 9) }, Carrying, CropCold, true, true},
		{"crop cold, tank too near", func(r *rig) { r.temp(Tunnel, 4); r.temp(Tank, 6) }, Resting, NotWorth, false, true},
		{"tunnel warm enough", func(r *rig) { r.temp(Tunnel, 13); r.temp(Tank, 60) }, Resting, WarmEnough, false, true},
		{"tank hot", func(r *rig) { r.temp(Tank, 83) }, Shedding, TankHot, true, false},
		{"tank hot, tunnel above crop maximum", func(r *rig) { r.temp(Tank, 83); r.temp(Tunnel, 31) }, Resting, TankHotWaits, false, false},
		{"tank dangerous, tunnel above crop maximum", func(r *rig) { r.temp(Tank, 91); r.temp(Tunnel, 31) }, Shedding, TankDanger, true, false},
		{"coil near freezing, tank warmer", func(r *rig) { r.temp(Coil, -10); r.temp(Tank, 2); r.temp(Tunnel, 8) }, Guarding, FrostGuard, true, true},
		{"coil near freezing, tank as cold", func(r *rig) { r.temp(Coil, -10); r.temp(Tank, -9.5); r.temp(Tunnel, 8) }, Resting, TankCool, false, true},
		{"coil at freezing", func(r *rig) { r.temp(Coil, -12); r.temp(Tank, 40); r.temp(Tunnel, 4) }, Halted, LoopSlush, false, true},
		{"level low", func(r *rig) { r.in.Level = LevelLow; r.temp(Tank, 83) }, Halted, LevelIsLow, false, false},
		{"held by hand", func(r *rig) { r.in.Orders = []Order{{HoldOff, time.Hour}}; r.temp(Tank, 91) }, Held, HoldByHand, false, false},
		{"run by hand", func(r *rig) { r.in.Orders = []Order{{RunPump, time.Minute}} }, ByHand, RunByHand, true, true},
		{"run by hand at reserve", func(r *rig) { r.st.Charge.Share = 0.3; r.in.Orders = []Order{{RunPump, time.Minute}} }, Sparing, BatteryReserve, false, true},
		{"reserve, crop cold", func(r *rig) { r.st.Charge.Share = 0.3; r.temp(Tunnel, 4); r.temp(Tank, 40) }, Sparing, BatteryReserve, false, true},
		{"reserve, tank hot", func(r *rig) { r.st.Charge.Share = 0.3; r.temp(Tank, 83) }, Shedding, TankHot, true, false},
		{"reserve, frost", func(r *rig) { r.st.Charge.Share = 0.3; r.temp(Coil, -10); r.temp(Tank, 2) }, Guarding, FrostGuard, true, true},
		{"cut off, tank hot", func(r *rig) { r.st.Battery.CutOff = true; r.in.Meter.Volts = 11.5; r.temp(Tank, 83) }, Halted, BatteryCutOff, false, false},
		{"tank suspected hot", func(r *rig) {
			r.in.Places[Tank].Trouble, r.in.Places[Tank].Suspect = Doubted, 95
		}, Resting, WarmEnough, false, false},
		{"tank unknown", func(r *rig) { r.lose(Tank, time.Minute); r.temp(Tunnel, 2) }, Resting, TankUnknown, false, false},
		{"tank reading stands while young", func(r *rig) { r.temp(Tunnel, 8); r.temp(Tank, 30); r.lose(Tank, 30*time.Second) }, Carrying, Difference, true, true},
		{"tunnel unknown counts as at its floor", func(r *rig) { r.temp(Tank, 30); r.lose(Tunnel, time.Minute) }, Carrying, Difference, true, true},
		{"tunnel unknown, tank hot", func(r *rig) { r.temp(Tank, 83); r.lose(Tunnel, time.Minute) }, Shedding, TankHot, true, false},
		{"battery unknown, crop cold", func(r *rig) { r.in.Meter.Age = time.Minute; r.temp(Tunnel, 2); r.temp(Tank, 40) }, Sparing, BatteryUnknown, false, true},
		{"battery unknown, tank hot", func(r *rig) { r.in.Meter.Age = time.Minute; r.temp(Tank, 83) }, Shedding, TankHot, true, false},
		{"battery unknown too long, tank hot", func(r *rig) { r.in.Meter.Age = time.Hour; r.temp(Tank, 83) }, Halted, BatteryBlind, false, false},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := newRig()
			r.run(12 * time.Minute) // contactor closed, charge settled
			require.Equal(t, Resting, r.d.Mode)
			row.bend(r)
			r.step(1)
			assert.Equal(t, row.mode, r.d.Mode, "mode")
			assert.Equal(t, row.reason.String(), r.d.Reason.String(), "reason")
			assert.Equal(t, row.pump, r.d.Outputs.Pump > 0, "pump")
			assert.Equal(t, row.closed, r.d.Outputs.Closed, "contactor closed")
		})
	}
}
