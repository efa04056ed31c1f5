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

// Whatever the loop is doing, an event leads where the order of rules says.
func TestEveryModeMeetsEveryEvent(t *testing.T) {
	t.Parallel()
	enter := map[Mode]func(*rig){
		Resting:  func(*rig) {},
		Carrying: func(r *rig) { r.temp(Tunnel, 8); r.temp(Tank, 40) },
		Shedding: func(r *rig) { r.temp(Tank, 83) },
		Guarding: func(r *rig) { r.temp(Coil, -10); r.temp(Tank, 2) },
		Stirring: func(r *rig) { r.st.Trend.Rising = true; r.st.Stir.Since = time.Hour },
		Sparing:  func(r *rig) { r.st.Charge.Share = 0.3; r.in.Meter.Volts = 12.2 },
		Halted:   func(r *rig) { r.st.Flow = Flow{Halted: true, Tries: 3} },
		Held:     func(r *rig) { r.in.Orders = []Order{{HoldOff, time.Hour}} },
		ByHand:   func(r *rig) { r.in.Orders = []Order{{RunPump, time.Hour}} },
	}
	require.Len(t, enter, int(modes), "every mode has a way in")
	events := []struct {
		name   string
		happen func(*rig)
		want   func(from Mode) Mode // what must follow within one tick
	}{
		{"tank hot", func(r *rig) { r.temp(Tank, 84) }, unless(Shedding, Held)},
		{"cut off", func(r *rig) { r.st.Battery.CutOff = true; r.in.Meter.Volts = 11.4 }, unless(Halted, Held)},
		{"level low", func(r *rig) { r.in.Level = LevelLow }, unless(Halted, Held)},
		{"slush", func(r *rig) { r.temp(Coil, -13) }, unless(Halted, Held)},
		{"hold", func(r *rig) { r.in.Orders = []Order{{HoldOff, time.Hour}} }, unless(Held)},
		{"near freezing", func(r *rig) { r.temp(Tank, 5); r.temp(Coil, -10) }, unless(Guarding, Held, Halted)},
	}
	for from, way := range enter {
		for _, e := range events {
			t.Run(from.String()+"/"+e.name, func(t *testing.T) {
				t.Parallel()
				r := newRig()
				r.run(12 * time.Minute)
				way(r)
				r.step(1)
				require.Equal(t, from, r.d.Mode, "the way into the mode")
				e.happen(r)
				r.step(1)
				assert.Equal(t, e.want(from).String(), r.d.Mode.String())
			})
		}
	}
}

// unless is an event's outcome, except that the modes named stay as they are.
func unless(to Mode, stays ...Mode) func(Mode) Mode {
	return func(from Mode) Mode {
		for _, s := range stays {
			if s == from {
				return s
			}
		}
		return to
	}
}
