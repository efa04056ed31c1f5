package fit

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/battery"
	"duskloop/sim/plant"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

// noon is about noon by the sun at Alder Hollow, on which every record here begins.
var firstNoon = time.Date(2026, 1, 12, 17, 20, 0, 0, time.UTC)

// anyPlant is a random plant, richer than the model: a coil that knows mix and flow, liquid
// in the pipes, night sky, leaks, a charger at the battery's voltage.
func anyPlant(r *rand.Rand) plant.Params {
	between := func(low, high float64) float64 { return low * math.Pow(high/low, r.Float64()) }
	p := plant.AlderHollow()
	p.Tank.Volume = quantity.Litre(between(10, 90))
	p.Tank.Glycerin = quantity.Share(0.2 + 0.25*r.Float64())
	p.Tank.Loss = quantity.WattPerKelvin(0.09 * math.Pow(float64(p.Tank.Volume), 2.0/3) * between(0.5, 1.6))
	rating := between(120, 600)
	p.Element.Panel.Rating = quantity.Watt(rating)
	p.Element.Resistance = quantity.Ohm(339 / rating * between(0.6, 1.1))
	p.Loop.Volume = quantity.Litre(between(0.3, 1.2))
	p.Loop.Circuit.Flow = quantity.LitrePerMinute(between(1.2, 3))
	p.Coil.Fins = quantity.WattPerKelvin(between(15, 60))
	p.Coil.AirFlow = quantity.CubicMetreSecond(between(0.02, 0.06))
	size := between(0.5, 2.5)
	vary := func() float64 { return size * between(0.7, 1.4) }
	t := &p.Tunnel
	t.Air *= quantity.JoulePerKelvin(vary())
	t.Bed *= quantity.JoulePerKelvin(vary())
	t.BedToAir *= quantity.WattPerKelvin(vary())
	t.BedToSoil *= quantity.WattPerKelvin(vary())
	t.Cover *= quantity.WattPerKelvin(vary())
	t.Sun *= quantity.SquareMetre(vary())
	t.Vent.Conductance *= quantity.WattPerKelvin(size)
	t.Soil = quantity.Celsius(7 + 3*r.Float64())
	t.SunToBed = quantity.Share(0.3 + 0.4*r.Float64())
	g := &p.Greenhouse
	g.SkyLoss = quantity.Share(0.3 + 0.6*r.Float64())
	g.Leak = quantity.WattPerKelvin(between(5, 40))
	p.Supply.Battery = battery.Typical(battery.AGM, quantity.AmpereHour(between(40, 120)))
	p.Supply.Panel.Rating = quantity.Watt(between(60, 150))
	return p
}

// world is a plant run by the decision, and its record.
type world struct {
	t      testing.TB
	house  season.House
	plant  *plant.Plant
	probes *plant.Probes
	sky    weather.Source
	state  control.State
	act    plant.Act
	mind   *night.Mind
	record Record
	truth  Model // what the fit should find
	faults func(minute int) plant.Faults
	forced func(minute int) (on, forced bool)
	speed  func(minute int) float64 // of what is forced; nil: full
	tested int                      // minutes of a forced test
}

// off is a twin as the grower's file has it: every figure wrong by a random part.
func off(r *rand.Rand, true0 night.Twin, by float64) night.Twin {
	wrong := func(x *float64) { *x *= math.Exp(by * min(max(r.NormFloat64(), -2), 2)) }
	for _, x := range []*float64{
		&true0.TankLoss, &true0.Coil, &true0.Cover, &true0.Air, &true0.Bed, &true0.BedToAir, &true0.BedToSoil, &true0.AirSun, &true0.BedSun, &true0.Element,
	} {
		wrong(x)
	}
	true0.Soil += r.NormFloat64()
	return true0
}

func settings(p plant.Params, twin night.Twin) control.Settings {
	s := control.Settings{
		StaleAfter: 5 * time.Minute,
		Tank:       control.TankLimits{Hot: 85, Danger: 92, Hysteresis: 4, MinOpen: 5 * time.Minute},
		Crop:       control.CropLimits{Minimum: 6, Comfort: 9, Maximum: 30, Harm: 2},
		Carry: control.Carry{
			Start: 8, Stop: 3, Conductance: quantity.WattPerKelvin(twin.Coil), Draw: quantity.Watt(twin.Draw),
			MinRun: 3 * time.Minute, MinRest: 5 * time.Minute, SafetyMin: 30 * time.Second,
			FanMargin: 1.5, FanOverrun: 2 * time.Minute, StirEvery: 20 * time.Minute, StirFor: 3 * time.Minute, StirRise: 0.4,
			PumpDuty: 1, FanDuty: 1,
		},
		Frost: control.Frost{Freezing: -12, Margin: 3},
		Battery: control.Battery{
			Chemistry: control.AGM, Capacity: p.Supply.Battery.Capacity, Resistance: 0.02, Reserve: 0.3, Recovery: 0.08,
			CutOff: 11.6, Reconnect: 12.5, Delay: 40 * time.Second, BlindAfter: 30 * time.Minute,
		},
		Proof: control.Proof{Within: time.Minute, Difference: 5, Tries: 3, TryEvery: 10 * time.Minute},
	}
	s.Element.FullSun, s.Element.Resistance, s.Element.Cable = quantity.Watt(twin.Element), p.Element.Resistance, p.Element.Cable
	for _, place := range []control.Place{control.Tank, control.Tunnel, control.Greenhouse} {
		s.Fitted.Places[place] = true
	}
	return s
}

// newWorld is a random plant with a random file about it.
func newWorld(t testing.TB, seed uint64) (*world, Model) {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 7))
	p := anyPlant(r)
	twin, volts, err := season.TwinOf(p)
	require.NoError(t, err)
	_ = volts
	file := off(r, twin, 0.25)
	file.Tank, file.Element = twin.Tank, twin.Element*(0.9+0.2*r.Float64())
	h := season.House{Plant: p, Probes: plant.Typical(seed), Settings: settings(p, file), Night: night.Usual(file), PanelMeasured: true}
	h.Night.Minimum, h.Night.Harm, h.Night.Skies = 6, 2, season.Skies(p.Site, p.Element.Panel.Plane)
	h.Night.Noon = int64(firstNoon.Unix()/600) % 144
	h.Night.Scenarios, h.Night.Learn = 1, false
	start := plant.State{Tank: 40, Coil: 10, Return: 10, Tunnel: 10, Bed: 9, Greenhouse: 6, Outdoors: 4, BatteryCharge: 0.95}
	w := &world{t: t, house: h, state: control.NewState(), act: plant.Act{ElementConnected: true}, truth: Model{Twin: twin}}
	w.plant, err = plant.New(p, firstNoon, start)
	require.NoError(t, err)
	w.sky = weather.New(weather.AlderHollow(), w.plant.Sun(), seed)
	w.probes = plant.NewProbes(h.Probes, w.plant.Now())
	w.mind = night.NewMind(h.Night)
	w.record = Record{Start: firstNoon, Skies: h.Night.Skies, Heated: true}
	l := p.Loop
	rate := float64(l.Circuit.Flow) / 60 * 3700
	return w, Model{
		Twin: file, Exponent: 0.5, Pipes: float64(l.Volume) * 3700, Stream: rate, Still: 2 * float64(l.Still), Blown: 2 * file.Coil,
		PumpHeat: float64(l.Pump) * float64(l.PumpHeat),
	}
}

// minute lets one pass.
func (w *world) minute() {
	k := len(w.record.Minutes)
	if w.faults != nil {
		w.plant.SetFaults(w.faults(k))
	}
	in := control.Inputs{Elapsed: time.Minute, ClockTrusted: true}
	for p := range control.Places {
		if v, ok := w.probes.At(plant.Place(p)); ok && w.house.Settings.Fitted.Places[p] {
			in.Places[p] = control.Temperature{Value: v, Ever: true}
		}
	}
	volts, amps, ok := w.probes.Battery()
	in.Panel = control.Panel{Volts: w.plant.Now().PanelVolts, Has: true}
	in.Meter = control.Meter{Volts: volts, Amps: amps, HasVolts: ok, HasAmps: ok}
	in.Tonight = w.mind.Advice()
	var d control.Decision
	w.state, d = control.Step(&w.house.Settings, w.state, in)
	w.act = plant.Act{Pump: d.Outputs.Pump, Fans: d.Outputs.Fans, ElementConnected: true}
	if w.forced != nil {
		if on, is := w.forced(k); is {
			w.act.Pump, w.act.Fans = 0, 0
			if on {
				w.act.Pump, w.act.Fans = 1, 1
				if w.speed != nil {
					w.act.Pump, w.act.Fans = quantity.Share(w.speed(k)), quantity.Share(w.speed(k))
				}
			}
			d.Outputs.Pump, d.Outputs.Fans = w.act.Pump, w.act.Fans
		}
	}
	sample := w.house.Settings.Sample(&in, &d, w.plant.Clock())
	w.mind.Observe(&sample)
	w.mind.Think(40)
	w.keep(&sample, float64(volts), float64(amps))
	w.plant.Step(time.Minute, w.act, w.sky.At(w.plant.Clock().Add(30*time.Second)))
	w.probes.Read(w.plant.Now(), time.Minute)
}

// keep notes a minute; the sun that a panel says is the one of the minute before.
func (w *world) keep(s *night.Sample, volts, amps float64) {
	x := Minute{Tank: s.Tank, Air: s.Air, House: s.House, Bed: s.Bed, Sun: s.Sun, Power: s.Power, Seen: true, Volts: volts, Amps: amps}
	pump, fans := float64(w.act.Pump), float64(w.act.Fans)
	x.Speed = max(pump, fans)
	switch {
	case pump > 0 && fans > 0:
		x.On, x.Speed = 1, math.Sqrt(pump*fans)
	case pump > 0:
		x.Stirred = 1
	case fans > 0:
		x.Blown = 1
	}
	all := &w.record.Minutes
	if n := len(*all); n > 0 {
		(*all)[n-1].Sun = ((*all)[n-1].Sun + x.Sun) / 2
	}
	*all = append(*all, x)
}

// know fills in what a file knows beside the figures: how the tank's heat and the coil go
// with temperature.
func (w *world) know(file *Model) {
	at, err := w.house.Plant.TankAt(w.record.mean())
	require.NoError(w.t, err)
	file.Tank = float64(at)
	file.Shape, err = NewShape(func(tank float64) (float64, error) {
		g, err := w.house.Plant.CoilAt(quantity.Celsius(tank))
		return float64(g), err
	})
	require.NoError(w.t, err)
}

// days lets some pass.
func (w *world) days(n int) {
	for range n * 24 * 60 {
		w.minute()
	}
}

// lastChance is the day on which a forced test is made whatever the tank holds.
const lastChance = 4

// forceOneNight is 30 min on, 60 min off over six hours of the first night from a day on whose
// tank is 12 K over the air soon after dark, or of a later one where none is.
func (w *world) forceOneNight(day int) {
	begun, dark := -1, 0
	w.forced = func(k int) (on, is bool) {
		now := w.plant.Now()
		if dark++; now.PanelSun > 0 {
			dark = 0
		}
		if begun < 0 && k > day*aDay && dark > 30 && dark < 180 && (now.Tank-now.Tunnel > 12 || k > lastChance*aDay) {
			begun = k
		}
		since := k - begun
		if is = begun >= 0 && since < 6*60; is {
			w.tested++
		}
		return since%90 < 30, is
	}
}
