package plant_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// differential is the plainest rule: start 8 K above the tunnel when it is cold,
// stop at 3 K or when it is warm. It stands for a controller here.
type differential struct{ on bool }

func (d *differential) act(s plant.State) plant.Act {
	lift := s.Tank - s.Tunnel
	switch {
	case s.Tunnel < 6 && lift > 8:
		d.on = true
	case lift < 3 || s.Tunnel > 9:
		d.on = false
	}
	a := plant.Act{ElementConnected: true}
	if d.on {
		a.Pump, a.Fans = 1, 1
	}
	return a
}

// run runs the plant from dusk for a number of days and calls see every minute.
func run(t *testing.T, days int, seed uint64, rule func(plant.State) plant.Act, see func(plant.State, weather.Sample)) *plant.Plant {
	t.Helper()
	p := plant.AlderHollow()
	dusk := time.Date(2026, 1, 14, 22, 0, 0, 0, time.UTC)
	made, err := plant.New(p, dusk, plant.Dusk())
	require.NoError(t, err)
	sky := weather.New(weather.AlderHollow(), p.Site, seed)
	for range days * 24 * 60 {
		sample := sky.At(made.Now().Time)
		made.Step(time.Minute, rule(made.Now()), sample)
		see(made.Now(), sample)
	}
	return made
}

func TestClearWinterDayAtAlderHollow(t *testing.T) {
	t.Parallel()
	// Looks at every clear day of four weeks: the demonstration must be worth
	// watching. The numbers are the demonstration's own, not a source's.
	var d differential
	var cloud float64
	var hottest quantity.Celsius
	clear, warm := 0, 0
	made := run(t, 28, 1, d.act, func(s plant.State, w weather.Sample) {
		local := s.Time.Add(-5 * time.Hour)
		if h := local.Hour(); h >= 9 && h < 16 {
			cloud += float64(w.Cloud) / 420
		}
		hottest = max(hottest, s.Tank)
		if local.Hour() == 17 && local.Minute() == 0 {
			if cloud < 0.2 {
				clear++
				if hottest > 55 && hottest < 85 {
					warm++
				}
			}
			cloud, hottest = 0, 0
		}
	})
	require.Greater(t, clear, 4)
	assert.Equal(t, clear, warm, "every clear day brings the tank to 55-85 °C")
	m := made.Meters()
	assert.Greater(t, m.PumpStarts, 28, "starts and stops")
	assert.Greater(t, float64(m.HeatToTunnel), 0.6*float64(m.HeatIntoTank))
	assert.Zero(t, m.Unserved)
}

func TestHeatHelpsTheTunnel(t *testing.T) {
	t.Parallel()
	// The same fortnight with the pump never on and always on.
	frost := func(rule func(plant.State) plant.Act) (degreeHours float64, m plant.Meters) {
		made := run(t, 14, 3, rule, func(s plant.State, _ weather.Sample) {
			degreeHours += max(0, float64(5-s.Tunnel)) / 60
		})
		return degreeHours, made.Meters()
	}
	var d differential
	never, _ := frost(func(plant.State) plant.Act { return plant.Act{ElementConnected: true} })
	rule, used := frost(d.act)
	always, wasted := frost(func(plant.State) plant.Act {
		return plant.Act{Pump: 1, Fans: 1, ElementConnected: true}
	})
	assert.Less(t, rule, 0.7*never)
	assert.Less(t, rule, always, "emptied by day and in the evening, and the battery with it")
	assert.Less(t, float64(used.BatteryUsed), 0.5*float64(wasted.BatteryUsed))
}

func TestSameSeedSameNight(t *testing.T) {
	t.Parallel()
	var a, b differential
	none := func(plant.State, weather.Sample) {}
	first, second := run(t, 2, 11, a.act, none), run(t, 2, 11, b.act, none)
	assert.Equal(t, first.Now(), second.Now())
	assert.Equal(t, first.Meters(), second.Meters())
}
