package trial_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"duskloop/sim/trial"
)

// bench is an invented one whose truth is known.
type bench struct {
	power, loss, heat float64 // W at a full share, W/K, J/K
	hours, cooling    float64 // on, and off after it
	every             int     // s from reading to reading
	noise, step       float64 // K, of the probe
	sun               func(s int) float64
	seed              uint64
}

// usual is a vessel of 20 litres read every half minute with a good probe.
func usual(power float64, seed uint64) bench {
	return bench{power: power, loss: 1.5, heat: 83600, hours: 3, cooling: 2, every: 30, noise: 0.05, step: 1.0 / 16, seed: seed}
}

// tick is the differential equation's step, s.
const tick = 2

// played calls see at every reading of the differential equation.
func (b bench) played(see func(s int, liquid, air, sun float64)) {
	r := rand.New(rand.NewPCG(b.seed, 9))
	t := 15 + 3*r.Float64()
	for s := 0; s < int((b.hours+b.cooling)*3600); s += tick {
		air, sun := 12+2*math.Sin(float64(s)/4000), 1.0
		if b.sun != nil {
			sun = b.sun(s)
		}
		if float64(s) >= b.hours*3600 {
			sun = 0
		}
		if s%b.every == 0 {
			seen := t + b.noise*r.NormFloat64()
			if b.step > 0 {
				seen = math.Round(seen/b.step) * b.step
			}
			see(s, seen, air, sun)
		}
		t += tick * (b.power*sun - b.loss*(t-air)) / b.heat
	}
}

// run is the bench's, told when it was on and nothing of the sun.
func (b bench) run() *trial.Run {
	run := &trial.Run{Name: "made", Heat: b.heat}
	b.played(func(s int, liquid, air, sun float64) {
		on := 0.0
		if sun > 0 {
			on = 1
		}
		run.Readings = append(run.Readings, trial.Reading{At: float64(s), Liquid: liquid, Air: air, On: on})
	})
	return run
}

// read is the bench's run by way of a file with the sun in it; highest is of the panel, V.
// At a full share its panel stands at 20 V.
func (b bench) read(t *testing.T, by trial.Sunlit) (run *trial.Run, highest float64) {
	t.Helper()
	var text strings.Builder
	text.WriteString(map[trial.Sunlit]string{trial.ByIrradiance: "time,liquid_c,air_c,irradiance\n", trial.ByVoltage: "time,liquid_c,air_c,panel_v\n"}[by])
	b.played(func(s int, liquid, air, sun float64) {
		recorded := 1000 * sun
		if by == trial.ByVoltage {
			recorded = 20 * math.Sqrt(sun)
		}
		fmt.Fprintf(&text, "%d,%.4f,%.2f,%.3f\n", s, liquid, air, recorded)
	})
	r, got, highest, err := trial.Read(strings.NewReader(text.String()))
	require.NoError(t, err)
	require.Equal(t, by, got)
	r.Heat = b.heat
	return &r, highest
}

// cloudy is a sun behind passing clouds, as a share of 1000 W/m²: between a fifth and nine
// tenths, for some minutes each.
func cloudy(seed uint64) func(int) float64 {
	r := rand.New(rand.NewPCG(seed, 77))
	from := 6 * r.Float64()
	return func(s int) float64 {
		x := float64(s)
		return 0.55 + 0.25*math.Sin(x/530+from) + 0.1*math.Sin(x/97+2*from)
	}
}

// made is as bench.run for a vessel, the usual probe.
func made(power, loss, heat, hours, cooling float64, seed uint64) *trial.Run {
	b := usual(power, seed)
	b.loss, b.heat, b.hours, b.cooling = loss, heat, hours, cooling
	return b.run()
}
