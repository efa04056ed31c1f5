package season_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control"
	"duskloop/sim/plant"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

// autumn is the start of a winter half-year, at dusk.
var autumn = time.Date(2025, 10, 1, 22, 0, 0, 0, time.UTC)

// alderHollow is the demonstration with every probe fitted, run by ordinary rules.
func alderHollow() season.House {
	rules := control.Settings{
		StaleAfter: 5 * time.Minute,
		Tank:       control.TankLimits{Hot: 80, Danger: 88, Hysteresis: 4, MinOpen: 5 * time.Minute},
		Crop:       control.CropLimits{Minimum: 6, Comfort: 9, Maximum: 30},
		Carry: control.Carry{
			Start: 8, Stop: 3, Worth: 5, Conductance: 19, Draw: 12,
			MinRun: 3 * time.Minute, MinRest: 5 * time.Minute, SafetyMin: 30 * time.Second,
			FanMargin: 1.5, FanOverrun: 2 * time.Minute,
			StirEvery: 20 * time.Minute, StirFor: 3 * time.Minute, StirRise: 0.4,
			PumpDuty: 1, FanDuty: 1,
		},
		Frost: control.Frost{Freezing: -12, Margin: 3},
		Battery: control.Battery{
			Chemistry: control.AGM, Capacity: 34, Resistance: 0.02, Reserve: 0.5, Recovery: 0.08,
			CutOff: 11.9, Reconnect: 12.5, Delay: 40 * time.Second, BlindAfter: 30 * time.Minute,
		},
		Proof: control.Proof{Within: time.Minute, Difference: 5, Tries: 3, TryEvery: 10 * time.Minute, PumpCurrent: 0.58, FanCurrent: 0.42},
	}
	rules.Fitted.Contactor = true
	for p := range rules.Fitted.Places {
		rules.Fitted.Places[p] = true
	}
	return season.House{Plant: plant.AlderHollow(), Start: plant.Dusk(), Probes: plant.Typical(1), Settings: rules}
}

func begin(tb testing.TB, h season.House, seed uint64) *season.Season {
	tb.Helper()
	s, err := season.New(h, autumn, func(sky weather.Sky) weather.Source {
		return weather.New(weather.AlderHollow(), sky, seed)
	})
	require.NoError(tb, err)
	return s
}

func TestBooksCloseOverASeason(t *testing.T) {
	t.Parallel()
	s := begin(t, alderHollow(), 4)
	for range 182 * 24 * 60 {
		s.Step(time.Minute)
	}
	heat, charge := s.Plant().Imbalance()
	t.Logf("of the sum of all flows: heat %.1e, charge %.1e", heat, charge)
	assert.Less(t, heat, 1e-6)
	assert.Less(t, charge, 1e-6)
	m := s.Plant().Meters()
	assert.Greater(t, float64(m.HeatIntoTank), 20e3, "a winter of sun")
	assert.Greater(t, float64(m.HeatToTunnel), 0.5*float64(m.HeatIntoTank))
	assert.Equal(t, autumn.Add(182*24*time.Hour), s.Plant().Clock())
}

func TestPlacesAreInOneOrder(t *testing.T) {
	t.Parallel()
	for p := range control.Places {
		assert.Equal(t, p.String(), plant.Place(p).String())
	}
	assert.Len(t, plant.Places(), int(control.Places))
}

func TestSameSeedSameSeason(t *testing.T) {
	t.Parallel()
	a, b := begin(t, alderHollow(), 9), begin(t, alderHollow(), 9)
	for range 3 * 24 * 60 {
		require.Equal(t, a.Step(time.Minute).Outputs, b.Step(time.Minute).Outputs)
	}
	assert.Equal(t, a.Plant().Meters(), b.Plant().Meters())
}

func TestWithoutContactorTheElementStaysWired(t *testing.T) {
	t.Parallel()
	h := alderHollow()
	h.Settings.Fitted.Contactor = false
	s := begin(t, h, 4)
	most := 0.0
	for range 2 * 24 * 60 {
		s.Step(time.Minute)
		most = max(most, float64(s.Plant().Now().ElementPower))
	}
	assert.Positive(t, most)
}

// TestStepAllocatesNothing looks at every single step of two days. One in which an
// alert changes may allocate its text.
func TestStepAllocatesNothing(t *testing.T) {
	s := begin(t, alderHollow(), 4)
	var quiet, loud int
	for i := range 2 * 24 * 60 {
		var d control.Decision
		got := testing.AllocsPerRun(1, func() { d = s.Step(time.Minute) }) // runs it twice
		if len(d.Changes) > 0 {
			loud++
			continue
		}
		quiet++
		require.Zero(t, got, "step %d, %s", i, d.Reason)
	}
	assert.Greater(t, quiet, 2800)
	t.Logf("%d steps without, %d with an allocation allowed", quiet, loud)
}

func TestPlantThatCannotBe(t *testing.T) {
	t.Parallel()
	h := alderHollow()
	h.Plant.Tank.Volume = 0
	_, err := season.New(h, autumn, nil)
	require.ErrorContains(t, err, "tank volume")
}
