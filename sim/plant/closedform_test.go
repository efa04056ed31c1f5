package plant_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// bare is a tank of 78.3 kJ/K with a loss of 1.5 W/K in a greenhouse that is held at
// the outdoor air, everything else switched off: what is left has a closed form.
func bare(loss quantity.WattPerKelvin) plant.Params {
	p := plant.AlderHollow()
	p.Tank = plant.Tank{Volume: 20, Glycerin: 0.3, Capacity: 78.3e3, Loss: loss}
	p.Greenhouse = plant.Greenhouse{Air: 1e8, Cover: 1e5}
	p.Tunnel.Sun, p.Tunnel.Vent = 0, plant.Vent{}
	return p
}

func TestCoolingCurveOfThePlant(t *testing.T) {
	t.Parallel()
	start := plant.State{Tank: 60, Coil: 5, Return: 5, Tunnel: 5, Bed: 5, Greenhouse: 5, BatteryCharge: 1}
	made := build(t, bare(1.5), start)
	sky := weather.Sample{Air: 5, DewPoint: 5, Cloud: 1}
	for hour := 1; hour <= 14; hour++ {
		for range 60 {
			made.Step(time.Minute, plant.Act{}, sky)
		}
		want := 5 + 55*math.Exp(-1.5*3600*float64(hour)/78.3e3)
		assert.InEpsilon(t, want-5, float64(made.Now().Tank)-5, 0.001, "%d h", hour)
	}
}

func TestLossLimitedHeatUpOfThePlant(t *testing.T) {
	t.Parallel()
	// Closed form t = -(C/UA) ln((Ts-T1)/(Ts-T0)), Ts = Ta + P/UA: 78.3 kJ/K from 15 to 60
	// °C by 150 W in air of 10 °C takes 9.3 h with 1.5 W/K, 6.5 h without loss.
	for loss, hours := range map[quantity.WattPerKelvin]float64{1.5: 9.3, 0: 6.5} {
		p := bare(loss)
		sky := lightFor(t, p, 150)
		sky.Air, sky.DewPoint = 10, 10
		start := plant.State{Tank: 15, Coil: 10, Return: 10, Tunnel: 10, Bed: 10, Greenhouse: 10, BatteryCharge: 1}
		made := build(t, p, start)
		act := plant.Act{ElementConnected: true}
		made.Step(time.Second, act, sky)
		watts := float64(made.Now().ElementPower)
		assert.InEpsilon(t, 150, watts, 0.02, "air of 10 in place of 5 °C")
		for made.Now().Tank < 60 {
			made.Step(5*time.Second, act, sky)
		}
		got := made.Now().Time.Sub(noon).Hours()
		exact := 78.3e3 * 45 / watts / 3600
		if loss > 0 {
			ua := float64(loss)
			exact = -78.3e3 / ua / 3600 * math.Log((10+watts/ua-60)/(10+watts/ua-15))
		}
		assert.InEpsilon(t, exact, got, 0.001)
		assert.InEpsilon(t, hours, got, 0.03)
	}
}
