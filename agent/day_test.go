package agent

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// trial is a simulated stretch of the demo.
func trial(days float64, p Policy, faults ...string) Trial {
	f := config.Demo()
	t := Trial{File: f, Start: DemoStart(f, time.Time{}), Days: days, Seed: demoSeed, Policy: p}
	for _, text := range faults {
		var x Fault
		if err := x.Set(text); err != nil {
			panic(err)
		}
		t.Faults = append(t.Faults, x)
	}
	return t
}

func simulated(t *testing.T, tr Trial) Summary {
	t.Helper()
	s, err := Simulate(t.Context(), tr)
	require.NoError(t, err)
	return s
}

// The same three days by the rules, with the pump always on, and without it.
func TestRulesBesideAlwaysOnAndOff(t *testing.T) {
	t.Parallel()
	rules, on, off := simulated(t, trial(3, ByRules)), simulated(t, trial(3, AlwaysOn)), simulated(t, trial(3, AllOff))
	for _, s := range []Summary{rules, on, off} {
		t.Logf("%-9s below minimum %.1f h, %.0f K²h, lowest tunnel %.1f °C, highest tank %.1f °C, battery %.3f kWh, lowest charge %.0f %%, starts %d",
			s.Policy, s.HoursBelow, s.SquaredKh, s.LowestTunnelC, s.HighestTankC, s.BatteryUsedKWh, s.LowestChargePct, s.PumpStarts)
	}
	assert.Greater(t, rules.HeatIntoTankKWh, 1.0, "the tank heats by day")
	assert.Less(t, rules.HoursBelow, off.HoursBelow, "heat helps the crop")
	assert.Less(t, rules.SquaredKh, on.SquaredKh, "and helps more when it is not spent at dusk")
	assert.Less(t, on.SquaredKh, off.SquaredKh)
	assert.Greater(t, rules.LowestTunnelC, on.LowestTunnelC+0.5, "in the coldest hour above all")
	assert.Less(t, rules.BatteryUsedKWh, 0.75*on.BatteryUsedKWh)
	assert.Zero(t, rules.HoursBrownOut)
	assert.Greater(t, rules.PumpStarts, 2)
	assert.Zero(t, off.PumpStarts)
}

// On a clear day the tank heats in the sun and is carried to the tunnel at
// night; pump and fans are never on below cut-off.
func TestAClearDayHeatsTheTank(t *testing.T) {
	t.Parallel()
	var coldest, hottest quantity.Celsius = 100, 0
	pumpAtNight := 0
	day(t, 24*time.Hour, func(s *Setup, g *Greenhouse) {
		s.After = func(c Cycle) {
			now := g.plant.Now()
			hour := c.At.Sub(winterDusk).Hours()
			if hour > 12 {
				coldest = min(coldest, now.Tank)
			}
			if hour > 16 {
				hottest = max(hottest, now.Tank)
			}
			if hour < 14 && c.Decision.Outputs.Pump > 0 {
				pumpAtNight++
			}
			below := c.State.Battery.CutOff && (c.Decision.Outputs.Pump > 0 || c.Decision.Outputs.Fans > 0)
			require.False(t, below, "on below cut-off at %v", c.At)
		}
	})
	t.Logf("tank from %.1f °C at dawn to %.1f °C; pump ran in %d cycles of the night", coldest, hottest, pumpAtNight)
	assert.Greater(t, hottest.Minus(coldest), quantity.Kelvin(15))
	assert.Greater(t, pumpAtNight, 20)
}

// Each failure on demand is seen and said within the time that it needs.
func TestFaultsOnDemandAreSaid(t *testing.T) {
	t.Parallel()
	rows := []struct {
		fault string
		days  float64
		alert control.AlertCode
	}{
		{"probe-lost:tank@1", 0.1, control.AlertTankUnknown},
		{"probe-lost:coil@1", 0.1, control.AlertProbeLost},
		{"meter-lost@1", 0.1, control.AlertBatteryUnknown},
		{"pump-stuck@0", 0.5, control.AlertLoopStill},
		{"level-low@1", 0.1, control.AlertLevelLow},
	}
	for _, row := range rows {
		t.Run(row.fault, func(t *testing.T) {
			t.Parallel()
			tr := trial(row.days, ByRules, row.fault)
			if row.alert == control.AlertLevelLow {
				tr.File.Loop().Level = config.Line{Chip: "header", Number: 24}
			}
			assert.Positive(t, simulated(t, tr).Alerts[row.alert.String()])
		})
	}
}

// A cloud week heats little; a dead fan carries little.
func TestFaultsThatOnlyShowInTheFigures(t *testing.T) {
	t.Parallel()
	plain := simulated(t, trial(5, ByRules))
	clouds := simulated(t, trial(5, ByRules, "cloud-week"))
	assert.Less(t, clouds.HeatIntoTankKWh, 0.5*plain.HeatIntoTankKWh)
	fan := simulated(t, trial(1, ByRules, "fan-dead"))
	assert.Less(t, fan.HeatToTunnelKWh, 0.8*simulated(t, trial(1, ByRules)).HeatToTunnelKWh)
}

// restless is a pair of hands that remembers whether it was brought to rest.
type restless struct {
	*Greenhouse
	rested int
}

func (r *restless) Rest() error {
	r.rested++
	return r.Greenhouse.Rest()
}

// A panic in the loop still brings the outputs to rest.
func TestAPanicBringsTheOutputsToRest(t *testing.T) {
	t.Parallel()
	file := config.Demo()
	g, err := NewGreenhouse(file, winterDusk, plant.Dusk(), 1)
	require.NoError(t, err)
	h := &restless{Greenhouse: g}
	l, err := NewLoop(Setup{
		File: file, Clock: &leapClock{now: winterDusk}, Sight: g, Hands: h, Record: newMemory(),
		Log: quiet(), Simulated: true, Trusted: func() bool { return true },
		After: func(c Cycle) {
			if c.Decision.Outputs.Pump > 0 {
				panic("on purpose")
			}
		},
	})
	require.NoError(t, err)
	require.PanicsWithValue(t, "on purpose", func() { _ = l.Run(context.Background()) })
	assert.Equal(t, 1, h.rested)
	assert.Zero(t, float64(g.act.Pump))
	assert.False(t, g.act.ElementConnected, "the contactor is open")
}

// The order of places is the same in both words for it.
func TestPlacesAgree(t *testing.T) {
	t.Parallel()
	for p := range control.Places {
		assert.Equal(t, p.String(), placeOf(p).String())
	}
}
