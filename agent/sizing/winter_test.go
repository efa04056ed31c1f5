package sizing_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

// Looking every ten minutes at the winter's light finds the heat that looking every two
// finds, within half a per cent.
func TestGlimpse(t *testing.T) {
	t.Parallel()
	s := invented(t, "plant-large.toml", 30)
	l := s.File.Loop()
	sparse, err := s.Lit()
	require.NoError(t, err)
	dense, err := s.LitEvery(2 * time.Minute)
	require.NoError(t, err)
	assert.InEpsilon(t, dense.On(l.Element.Resistance, 0).Energy, sparse.On(l.Element.Resistance, 0).Energy, 0.005)
	assert.InEpsilon(t, dense.Best, sparse.Best, 0.005)
}

// A tank of many times the heat that a night asks holds every night, by the floor, by a
// thermostat and by the plan; and a stronger coil never leaves more of the cold: what is
// judged is the hardware, not the way of spending.
func TestAStrongPlantHolds(t *testing.T) {
	t.Parallel()
	strong := map[string]string{
		"tank.volume": "400 L", "tank.loss": "1 W/K", "element.panel": "1200 W", "element.resistance": "0.3 ohm",
		"tunnel.cover_loss": "6 W/K", "battery.capacity": "200 Ah", "battery.panel": "200 W", "crop.minimum": "6 °C",
	}
	for _, conductance := range []string{"15 W/K", "60 W/K"} {
		strong["coil.conductance"] = conductance
		for _, policy := range []string{season.PolicyFloor, season.PolicyThermostat} {
			s := set(t, invented(t, "", 15), strong)
			s.Policy = policy
			w := sheet(t, s)
			assert.Greater(t, w.Without.Squared, 50.0)
			assert.Less(t, w.With.Squared, 0.02*w.Without.Squared, "%s, %s", policy, conductance)
		}
	}
}

// South of the equator the dark months are June to August, and the sheet says from when to
// when it flew.
func TestSouthernWinter(t *testing.T) {
	t.Parallel()
	if raced {
		t.Log("raced: no whole winter is flown")
		return
	}
	s := invented(t, "plant-large.toml", 214)
	s.File.Site.Latitude = -38
	s.Over = season.Span{Start: time.Date(2025, 4, 1, 5, 0, 0, 0, time.UTC), Days: 214, Offset: -5 * time.Hour}
	s.Sky = func(sky weather.Sky) weather.Source {
		c := weather.AlderHollow()
		for i := range 6 { // January's figures are July's
			c.Low[i], c.Low[i+6] = c.Low[i+6], c.Low[i]
			c.High[i], c.High[i+6] = c.High[i+6], c.High[i]
		}
		return weather.New(c, sky, 1)
	}
	require.NoError(t, s.Ready())
	w := sheet(t, s)
	assert.Greater(t, w.Without.Squared, 1000.0, "it is cold there in July")
	for _, h := range w.HeatUps {
		assert.Contains(t, []time.Month{time.June, time.July, time.August}, h.Day.Month())
	}
	assert.Contains(t, text(w, quantity.SI), "1 April to 31 October")
}

// A battery that cannot feed its computer is told before the heat is judged.
func TestStarvedIsToldFirst(t *testing.T) {
	t.Parallel()
	s := set(t, invented(t, "plant-large.toml", 45), map[string]string{"battery.panel": "5 W", "battery.capacity": "20 Ah"})
	first := sheet(t, s).Sections(quantity.SI)[0].Says[0]
	assert.Contains(t, first, "their battery is down")
	assert.NotContains(t, first, "So little heat")
}

// Without the panels' label no element is chosen, and it is said.
func TestNoElementWithoutALabel(t *testing.T) {
	t.Parallel()
	w := sheet(t, invented(t, "", 5))
	assert.Nil(t, w.Heater.Offer)
	assert.Contains(t, text(w, quantity.SI), "no element is chosen")
	known := sheet(t, invented(t, "plant-large.toml", 5))
	require.NotNil(t, known.Heater.Offer)
	assert.Greater(t, known.Heater.OpenV, 22.0*1.1, "colder than the label's 25 °C by 35 K and more")
	assert.InDelta(t, 1.5625*18, known.Heater.FuseA, 0.1)
	three := set(t, invented(t, "plant-large.toml", 5), map[string]string{"element.in_series": "3", "element.in_parallel": "1"})
	assert.Contains(t, text(sheet(t, three), quantity.SI), "can kill at a touch")
}
