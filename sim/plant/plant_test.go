package plant_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// noon of a winter day at Alder Hollow, in UTC.
var noon = time.Date(2026, 1, 15, 17, 20, 0, 0, time.UTC)

func build(t *testing.T, p plant.Params, s plant.State) *plant.Plant {
	t.Helper()
	made, err := plant.New(p, noon, s)
	require.NoError(t, err)
	return made
}

// night is a still clear frost.
func night() weather.Sample { return weather.Sample{Air: -3, DewPoint: -5} }

// grey is even light from the whole sky.
func grey(g quantity.WattPerSquareMetre) weather.Sample {
	return weather.Sample{Air: 5, DewPoint: 0, GHI: g, DHI: g, Cloud: 1}
}

// lightFor searches the light under which the element gives the watts.
func lightFor(t *testing.T, p plant.Params, watts float64) weather.Sample {
	t.Helper()
	low, high := 0.0, 1200.0
	for range 50 {
		mid := (low + high) / 2
		probe := build(t, p, plant.Dusk())
		probe.Step(time.Second, plant.Act{ElementConnected: true}, grey(quantity.WattPerSquareMetre(mid)))
		if float64(probe.Now().ElementPower) < watts {
			low = mid
		} else {
			high = mid
		}
	}
	require.Less(t, high, 1199.0, "the panel can give it")
	return grey(quantity.WattPerSquareMetre(low))
}

func TestOneGallonHeatUp(t *testing.T) {
	t.Parallel()
	// Common practice, no source: one US gallon from 50 to 125 °F at 100 W takes
	// between one and a half and two hours.
	p := plant.AlderHollow()
	p.Tank.Volume, p.Tank.Glycerin, p.Tank.Loss = 3.785411784, 0, 0
	sky := lightFor(t, p, 100)
	start := plant.Dusk()
	start.Tank = 10
	made := build(t, p, start)
	for made.Now().Tank.Fahrenheit() < 125 {
		made.Step(10*time.Second, plant.Act{ElementConnected: true}, sky)
		require.Less(t, made.Now().Time.Sub(noon), 4*time.Hour)
		if made.Now().Time.Sub(noon) < time.Minute {
			require.InDelta(t, 100, float64(made.Now().ElementPower), 0.5)
		}
	}
	took := made.Now().Time.Sub(noon).Hours()
	assert.Greater(t, took, 1.5)
	assert.Less(t, took, 2.0)
}

func TestCoilWarmsWithinTensOfSeconds(t *testing.T) {
	t.Parallel()
	start := plant.Dusk()
	start.Coil, start.Return = 4, 4
	made := build(t, plant.AlderHollow(), start)
	made.Step(time.Minute, plant.Act{}, night())
	assert.Less(t, float64(made.Now().Coil), 6.0, "cold at rest although the tank is hot")
	for range 5 {
		made.Step(time.Second, plant.Act{Pump: 1, Fans: 1}, night())
	}
	assert.Less(t, float64(made.Now().Coil), 40.0, "not at once")
	for range 45 {
		made.Step(time.Second, plant.Act{Pump: 1, Fans: 1}, night())
	}
	now := made.Now()
	assert.InDelta(t, float64(now.Tank), float64(now.Coil), 3)
	assert.Greater(t, float64(now.Coil-now.Return), 4.0, "the coil takes heat out")
	assert.Greater(t, float64(now.CoilPower), 500.0)
}

func TestBooksCloseOverAWeek(t *testing.T) {
	t.Parallel()
	for name, lumped := range map[string]quantity.WattPerKelvin{"exchanger": 0, "lumped coil": 22} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := plant.AlderHollow()
			p.Coil.Lumped = lumped
			made := build(t, p, plant.Dusk())
			sky := weather.New(weather.AlderHollow(), p.Site, 5)
			for i := range 7 * 24 * 60 {
				act := plant.Act{ElementConnected: i%97 != 0}
				if i%50 < 20 {
					act.Pump, act.Fans = quantity.Share(i%3)/2, quantity.Share(i%4)/3
				}
				made.Step(time.Duration(20+i%90)*time.Second, act, sky.At(made.Now().Time))
			}
			heat, charge := made.Imbalance()
			assert.Less(t, heat, 1e-6)
			assert.Less(t, charge, 1e-6)
			m := made.Meters()
			fed := float64(m.BatteryUsed + m.BaseUsed + m.BatteryIn - m.BatteryOut)
			assert.InEpsilon(t, fed, float64(m.PanelGiven), 1e-6, "electric energy")
			assert.Greater(t, float64(m.HeatIntoTank), 1000.0)
			assert.Greater(t, float64(m.HeatToTunnel), 1000.0)
			assert.Positive(t, m.PumpStarts)
		})
	}
}

func TestFaults(t *testing.T) {
	t.Parallel()
	run := func(f plant.Faults, act plant.Act, sky weather.Sample) *plant.Plant {
		made := build(t, plant.AlderHollow(), plant.Dusk())
		made.SetFaults(f)
		for range 10 {
			made.Step(time.Minute, act, sky)
		}
		return made
	}
	carry := plant.Act{Pump: 1, Fans: 1}
	well := run(plant.Faults{}, carry, night())
	require.Greater(t, float64(well.Now().CoilPower), 300.0)

	stuck := run(plant.Faults{PumpStuck: true}, carry, night())
	assert.Zero(t, stuck.Now().Flow)
	assert.Less(t, float64(stuck.Now().CoilPower), 20.0, "no heat moves")
	assert.Positive(t, float64(stuck.Now().PumpAmps), "but it draws")

	still := run(plant.Faults{FanDead: true}, carry, night())
	assert.Less(t, float64(still.Now().CoilPower), 0.4*float64(well.Now().CoilPower))
	assert.Less(t, float64(still.Meters().BatteryUsed), 0.7*float64(well.Meters().BatteryUsed))

	snow := run(plant.Faults{PanelCovered: true}, plant.Act{ElementConnected: true}, grey(300))
	assert.Zero(t, snow.Now().ElementPower)
	assert.Zero(t, float64(snow.Meters().PanelGiven))

	welded := run(plant.Faults{ContactorWelded: true}, plant.Act{}, grey(600))
	assert.Positive(t, float64(welded.Now().ElementPower))
	open := run(plant.Faults{}, plant.Act{}, grey(600))
	assert.Zero(t, open.Now().ElementPower)
	assert.Greater(t, float64(open.Now().PanelVolts), 20.0, "an open panel shows its open-circuit voltage")
}

func TestCutOutAndBoiling(t *testing.T) {
	t.Parallel()
	start := plant.Dusk()
	start.Tank = 88
	hours := func(p plant.Params) *plant.Plant {
		made := build(t, p, start)
		for range 12 * 60 {
			made.Step(time.Minute, plant.Act{ElementConnected: true}, grey(1000))
		}
		return made
	}
	guarded := hours(plant.AlderHollow())
	assert.Less(t, float64(guarded.Now().Tank), 93.0)
	assert.Zero(t, guarded.Meters().Steam)

	p := plant.AlderHollow()
	p.Tank.CutOut = 0
	bare := hours(p)
	assert.True(t, bare.Now().Boiling)
	// 35 % boils near 103.4 °C at 101.3 kPa (between Gerlach's 102.8 and 104); at 190 m
	// the air presses 99.1 kPa, which is 0.6 K less.
	assert.InDelta(t, 102.8, float64(bare.Now().Tank), 0.3, "boils and stays there")
	assert.Positive(t, float64(bare.Meters().Steam))
	heat, _ := bare.Imbalance()
	assert.Less(t, heat, 1e-6)
}

func TestBrownOut(t *testing.T) {
	t.Parallel()
	start := plant.Dusk()
	start.BatteryCharge = 0.25
	made := build(t, plant.AlderHollow(), start)
	for range 24 * 60 {
		made.Step(time.Minute, plant.Act{Pump: 1, Fans: 1}, night())
	}
	now := made.Now()
	assert.True(t, now.BrownOut)
	assert.Zero(t, now.Flow)
	assert.Positive(t, float64(made.Meters().Unserved))
	for range 6 * 60 {
		made.Step(time.Minute, plant.Act{}, grey(600))
	}
	assert.False(t, made.Now().BrownOut, "recovers in daylight")
}

func TestStepAllocatesNothing(t *testing.T) {
	p := plant.AlderHollow()
	made := build(t, p, plant.Dusk())
	sky := weather.New(weather.AlderHollow(), p.Site, 1)
	probes := plant.NewProbes(plant.Typical(1), made.Now())
	act := plant.Act{Pump: 1, Fans: 1, ElementConnected: true}
	assert.Zero(t, testing.AllocsPerRun(500, func() {
		made.Step(time.Minute, act, sky.At(made.Now().Time))
		probes.Read(made.Now(), time.Minute)
	}))
}

func TestValidateNamesEveryFault(t *testing.T) {
	t.Parallel()
	require.NoError(t, plant.AlderHollow().Validate())
	p := plant.AlderHollow()
	p.Tank.Volume = -1
	p.Tank.Glycerin = 0.8
	p.Coil.Fins = quantity.WattPerKelvin(math.NaN())
	p.Greenhouse.SkyLoss = 2
	p.Supply.Panel.Rating = 0
	err := p.Validate()
	require.Error(t, err)
	for _, what := range []string{"tank volume", "glycerin", "coil fins", "sky loss", "battery panel"} {
		assert.ErrorContains(t, err, what)
	}
	_, err = plant.New(p, noon, plant.Dusk())
	require.Error(t, err)
	hot := plant.Dusk()
	hot.Tank = 300
	_, err = plant.New(plant.AlderHollow(), noon, hot)
	require.ErrorContains(t, err, "initial tank")
}

func TestOddCommands(t *testing.T) {
	t.Parallel()
	made := build(t, plant.AlderHollow(), plant.Dusk())
	before := made.Now()
	made.Step(0, plant.Act{Pump: 1}, night())
	made.Step(-time.Minute, plant.Act{Pump: 1}, night())
	assert.Equal(t, before, made.Now())
	made.Step(time.Minute, plant.Act{Pump: quantity.Share(math.NaN()), Fans: 7}, night())
	assert.Zero(t, made.Now().Flow)
	assert.True(t, quantity.Finite(made.Now().Tunnel))
}

func ExamplePlant() {
	params := plant.AlderHollow()
	p, err := plant.New(params, time.Date(2026, 1, 15, 22, 0, 0, 0, time.UTC), plant.Dusk())
	if err != nil {
		fmt.Println(err)
		return
	}
	sky := weather.New(weather.AlderHollow(), params.Site, 7)
	for range 30 {
		p.Step(time.Minute, plant.Act{Pump: 1, Fans: 1}, sky.At(p.Now().Time))
	}
	fmt.Printf("%.0f Wh carried, tank %v\n", float64(p.Meters().HeatToTunnel), p.Now().Tank)
	// Output: 351 Wh carried, tank 48.4 °C
}

// A charger that is held off puts nothing in, and the books close.
func TestChargerHeldOff(t *testing.T) {
	t.Parallel()
	for _, kind := range []plant.Charger{plant.Direct, plant.MaximumPower} {
		params := plant.AlderHollow()
		params.Supply.Charger = kind
		for off, charged := range map[bool]bool{true: false, false: true} {
			start := plant.Dusk()
			start.BatteryCharge = 0.5
			p, err := plant.New(params, time.Date(2026, 3, 1, 15, 0, 0, 0, time.UTC), start)
			require.NoError(t, err)
			for range 120 {
				p.Step(time.Minute, plant.Act{ElementConnected: true, ChargerOff: off}, grey(600))
			}
			assert.Equal(t, charged, p.Meters().BatteryIn > 0)
			assert.Positive(t, float64(p.Now().ElementPower), "the element's panel is another")
			_, charge := p.Imbalance()
			assert.Less(t, charge, 1e-9)
		}
	}
}
