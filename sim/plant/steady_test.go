package plant_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/pv"
	"duskloop/sim/weather"
)

// TestSteadyStateIsASeriesCircuit leaves the plant alone in the dark until nothing
// moves. Heat then only comes up from the soil and goes through bed, tunnel air, cover
// and greenhouse to the outdoors: a series of resistances, Ohm's law of heat.
func TestSteadyStateIsASeriesCircuit(t *testing.T) {
	t.Parallel()
	p := plant.AlderHollow()
	p.Greenhouse.SkyLoss = 0
	made := build(t, p, plant.Dusk())
	sky := weather.Sample{Air: -7, DewPoint: -9}
	for range 60 * 24 * 30 {
		made.Step(2*time.Minute, plant.Act{}, sky)
	}
	tun, out := p.Tunnel, float64(p.Greenhouse.Cover+p.Greenhouse.Leak)
	resistance := 1/float64(tun.BedToSoil) + 1/float64(tun.BedToAir) + 1/float64(tun.Cover) + 1/out
	watts := (float64(tun.Soil) + 7) / resistance
	house := -7 + watts/out
	air := house + watts/float64(tun.Cover)
	bed := air + watts/float64(tun.BedToAir)
	now := made.Now()
	assert.InDelta(t, house, float64(now.Greenhouse), 1e-3)
	assert.InDelta(t, air, float64(now.Tunnel), 1e-3)
	assert.InDelta(t, bed, float64(now.Bed), 1e-3)
	assert.InDelta(t, house, float64(now.Tank), 0.01, "the tank ends at the air around it")
	assert.InDelta(t, air, float64(now.Coil), 1e-3)
}

// TestFansCoolTheStandingCoil: without flow the liquid in the coil decays towards the
// air with the loop's own loss and half the fins.
func TestFansCoolTheStandingCoil(t *testing.T) {
	t.Parallel()
	for fans, more := range map[quantity.Share]float64{0: 0, 1: 0.5} {
		p := plant.AlderHollow()
		p.Tunnel.Air = 1e7 // stays
		start := plant.Dusk()
		start.Coil = 40
		made := build(t, p, start)
		made.Step(30*time.Second, plant.Act{Fans: fans}, night())
		// Half of 0.7 L of 35 % glycerin: 1.0872 kg/L x 3524 J/(kg K) at 20 °C (the published
		// fit).
		capacity := 0.35 * 1.0872 * 3524
		rate := (float64(p.Loop.Still) + more*float64(p.Coil.Fins)) / capacity
		want := 9 + 31*math.Exp(-30*rate)
		assert.InEpsilon(t, want, float64(made.Now().Coil), 0.01, "fans %v", fans)
	}
}

// TestBatteryPanelOnItsCurve: what goes into the battery and to the loads is what the
// panel's curve gives at the battery's own voltage, or 95 % of its best through a
// tracking charger.
func TestBatteryPanelOnItsCurve(t *testing.T) {
	t.Parallel()
	for _, kind := range []plant.Charger{plant.Direct, plant.MaximumPower} {
		p := plant.AlderHollow()
		p.Supply.Charger = kind
		start := plant.Dusk()
		start.BatteryCharge = 0.5
		made := build(t, p, start)
		sky := grey(500)
		for range 30 {
			made.Step(time.Minute, plant.Act{}, sky)
		}
		before := made.Meters()
		made.Step(time.Minute, plant.Act{}, sky)
		now, m := made.Now(), made.Meters()
		volts := float64(now.BatteryVolts)
		got := float64(now.BatteryAmps) + float64(p.Supply.BaseLoad)/volts

		module, err := pv.Generic(p.Supply.Panel.Rating)
		require.NoError(t, err)
		light := quantity.WattPerSquareMetre(now.PanelSun)
		curve := module.At(light, pv.CellTemperature(sky.Air, light, float64(sky.Wind)))
		want := float64(curve.AtVoltage(now.BatteryVolts).Amps)
		if kind == plant.MaximumPower {
			want = 0.95 * float64(curve.MaxPower().Power()) / volts
		}
		assert.InEpsilon(t, want, got, 0.01, "charger %v at %.2f V", kind, volts)
		assert.InEpsilon(t, want*volts/60, float64(m.PanelGiven-before.PanelGiven), 0.01, "and is metered")
	}
}
