package control

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// modeWays leads from the settled bench into each mode within a tick.
var modeWays = map[Mode]func(*rig){
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

// event is something that happens to a loop in any mode. An outcome is the
// mode that must follow within one tick: to, unless the mode it came from has
// its own in but.
type event struct {
	name   string
	happen func(*rig)
	to     Mode
	but    map[Mode]Mode
}

// stay lists modes that an event leaves as they are.
func stay(ms ...Mode) map[Mode]Mode {
	but := make(map[Mode]Mode)
	for _, m := range ms {
		but[m] = m
	}
	return but
}

// The comment at each row says why the exceptions are what they are.
var modeEvents = []event{
	{"tank hot", func(r *rig) { r.temp(Tank, 84) }, Shedding, stay(Held)},
	{"tank in danger, tunnel above maximum", func(r *rig) { r.temp(Tank, 92); r.temp(Tunnel, 33) }, Shedding, stay(Held)},
	// A halted loop is no way to shed, nor is it a reason to say that it waits;
	// the others wait for the tunnel, a run of safety's own for its half minute.
	{"tank hot, tunnel above maximum", func(r *rig) { r.temp(Coil, 20); r.temp(Tank, 84); r.temp(Tunnel, 33); r.run(time.Minute) },
		Resting, stay(Held, Halted)},
	{"cut off", func(r *rig) { r.st.Battery.CutOff = true; r.in.Meter.Volts = 11.4 }, Halted, stay(Held)},
	{"battery blind", func(r *rig) { r.in.Meter.Age = time.Hour }, Halted, stay(Held)},
	{"level low", func(r *rig) { r.in.Level = LevelLow }, Halted, stay(Held)},
	{"slush", func(r *rig) { r.temp(Coil, -13) }, Halted, stay(Held)},
	{"loop halted", func(r *rig) { r.st.Flow.Halted, r.st.Flow.Wait = true, time.Minute }, Halted, stay(Held)},
	{"hold", func(r *rig) { r.in.Orders = []Order{{HoldOff, time.Hour}} }, Held, nil},
	{"near freezing", func(r *rig) { r.temp(Tank, 5); r.temp(Coil, -10) }, Guarding, stay(Held, Halted)},
	// Comfort gives way to the reserve after its minimum run; what safety does
	// is no concern of the reserve.
	{"reserve", func(r *rig) { r.st.Charge = Charge{Share: 0.3, Band: 0.01, OK: true}; r.st.Pump.For = time.Hour },
		Sparing, stay(Held, Halted, Shedding, Guarding)},
	{"battery unknown", func(r *rig) { r.in.Meter.Age = time.Minute; r.st.Pump.For = time.Hour },
		Sparing, stay(Held, Halted, Shedding, Guarding)},
	// Shedding goes on while the coil is warm; here it is not, and a run for
	// safety has had its half minute. By hand the grower looks after it.
	{"tank unknown", func(r *rig) { r.lose(Tank, time.Hour); r.st.Pump.For = time.Hour; r.temp(Coil, 15) },
		Resting, stay(Held, Halted, Sparing, ByHand)},
	// The tunnel counts as at its floor of 5 °C: a tank at 20 °C is worth
	// carrying from, whatever went before; only Guarding's tank, at 2 °C, is not.
	{"tunnel unknown", func(r *rig) { r.lose(Tunnel, time.Hour); r.st.Pump.For = time.Hour },
		Carrying, stay(Held, Halted, Sparing, ByHand, Shedding, Guarding)},
	{"crop cold", func(r *rig) { r.temp(Tunnel, 3); r.st.Pump.For = time.Hour },
		Carrying, stay(Held, Halted, Sparing, ByHand, Shedding, Guarding)},
	// With nothing left to give, all that ran for heat rests; a stir mixes on.
	{"tank cools", func(r *rig) { r.temp(Tank, 10); r.temp(Coil, 10); r.st.Pump.For = time.Hour; r.st.Hot.For = time.Hour },
		Resting, stay(Held, Halted, Sparing, ByHand, Stirring)},
	{"element heats", func(r *rig) { r.st.Trend.Rising = true; r.st.Stir.Since = time.Hour },
		Stirring, stay(Held, Halted, Sparing, ByHand, Carrying, Shedding, Guarding)},
	{"run by hand", func(r *rig) { r.in.Orders = []Order{{RunPump, time.Hour}} },
		ByHand, stay(Held, Halted, Sparing, Shedding, Guarding)},
	{"orders end", func(r *rig) { r.in.Orders = []Order{{EndByHand, 0}} },
		Resting, stay(Halted, Sparing, Carrying, Shedding, Guarding, Stirring)},
	{"resume", func(r *rig) { r.in.Orders = []Order{{Resume, 0}} },
		Resting, stay(Held, Sparing, ByHand, Carrying, Shedding, Guarding, Stirring)},
	// To watch, or not to know the time, changes no mode.
	{"watch only", func(r *rig) { r.in.Orders = []Order{{WatchOnly, time.Hour}} },
		Resting, stay(Held, Halted, Sparing, ByHand, Carrying, Shedding, Guarding, Stirring)},
	{"clock lost", func(r *rig) { r.in.ClockTrusted = false },
		Resting, stay(Held, Halted, Sparing, ByHand, Carrying, Shedding, Guarding, Stirring)},
	// After a restart every run waits for its rest, safety's for its short one.
	{"restart", func(r *rig) { r.st = r.st.Restarted(0, false); r.st.Charge.OK = true },
		Resting, stay(Held, Halted, Sparing, ByHand)},
}

// Whatever the loop is doing, an event leads where the order of rules says.
func TestEveryModeMeetsEveryEvent(t *testing.T) {
	t.Parallel()
	require.Len(t, modeWays, int(modes), "every mode has a way in")
	for from, way := range modeWays {
		for _, e := range modeEvents {
			t.Run(fmt.Sprintf("%v/%s", from, e.name), func(t *testing.T) {
				t.Parallel()
				r := settledRig()
				way(r)
				r.step(1)
				require.Equal(t, from, r.d.Mode, "the way into the mode")
				e.happen(r)
				r.step(1)
				want := e.to
				if own, ok := e.but[from]; ok {
					want = own
				}
				assert.Equal(t, want.String(), r.d.Mode.String(), r.d.Reason.String())
				assert.Equal(t, want == Held || want == Halted || want == Sparing || want == Resting,
					r.d.Wanted.Pump == 0, "the pump runs in the modes that run it")
			})
		}
	}
}
