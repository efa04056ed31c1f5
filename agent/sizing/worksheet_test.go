package sizing_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/sizing"
	"duskloop/sensors/quantity"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

// sheet works out a worksheet without levers.
func sheet(t *testing.T, s *sizing.Sketch) *sizing.Worksheet {
	t.Helper()
	lit, err := s.Lit()
	require.NoError(t, err)
	off, err := s.Fly(season.PolicyOff)
	require.NoError(t, err)
	warm, err := s.Fly(s.Policy)
	require.NoError(t, err)
	planned, err := s.Fly(season.PolicyPlan)
	require.NoError(t, err)
	w, err := s.Sheet(lit, &off, &warm, &planned)
	require.NoError(t, err)
	return w
}

// set is a sketch with keys of its file changed.
func set(t *testing.T, s *sizing.Sketch, keys map[string]string) *sizing.Sketch {
	t.Helper()
	f, _, err := s.File.Sketched(keys)
	require.NoError(t, err)
	next := *s
	next.File = f
	require.NoError(t, next.Ready())
	return &next
}

// The seasonal match and the best element of the reference notes on heating by a resistor
// (their section "Seasonal match", computed with other code), of the same real year. Its
// months are October to March; the sketch's winter goes on to April, so it is cut short.
func TestRealYearMatch(t *testing.T) {
	t.Parallel()
	s := real(t, "plant-large.toml")
	if s == nil {
		return
	}
	s = set(t, s, map[string]string{
		"element.voc": "22.3 V", "element.isc": "5.95 A", "element.vmp": "18.4 V", "element.imp": "5.43 A",
		"element.in_parallel": "1", "element.panel": "100 W", "element.resistance": "1.44 ohm", "element.cable": "0 ohm",
	})
	s.Over.Days = 182
	h := sheet(t, s).Heater
	t.Logf("best point %.2f kWh; 1.44 ohm %.2f kWh, %.1f %%; best %.2f ohm %.1f %%; sold %v at %v %.1f %%; day: mean %.0f, median %.0f, worst tenth %.0f Wh",
		h.BestKWh, h.Now.Energy, h.Now.MatchPct, h.Best.Resistance, h.Best.MatchPct, h.Offer.Watts, h.Offer.Volts, h.Offer.MatchPct, h.Mean, h.Median, h.Tenth)
	assert.InEpsilon(t, 75.85, h.BestKWh, 0.02)
	assert.InEpsilon(t, 24.42, h.Now.Energy, 0.02)
	assert.InEpsilon(t, 32.2, h.Now.MatchPct, 0.02)
	assert.InEpsilon(t, 76.8, h.Best.MatchPct, 0.02)
	assert.Greater(t, h.Offer.Energy, 0.98*h.Best.Energy)
	assert.GreaterOrEqual(t, h.Offer.Resistance, 4.1, "4.1 to 5.7 ohm lies within 2 % of the best")
	assert.LessOrEqual(t, h.Offer.Resistance, 5.8)
	assert.Greater(t, float64(h.Offer.Watts), h.Offer.MaxW)
	assert.InEpsilon(t, 134, h.Mean, 0.02)
	assert.InEpsilon(t, 143, h.Median, 0.03)
	assert.InDelta(t, 8, h.Tenth, 1)
}

// still is weather that does not change: no sun, and air of one temperature.
type still quantity.Celsius

func (s still) At(time.Time) weather.Sample { return weather.Sample{Air: quantity.Celsius(s), Wind: 1} }

// Without a loss, m c dT / P, as calculators have it (common practice): 20 L of water, 4.18
// kJ/kgK, 45 K, 150 W. With it, the closed form of a lumped vessel in air at the crop's
// minimum. That form itself is held against published examples in sim/trial.
func TestSteadyHeating(t *testing.T) {
	t.Parallel()
	s := set(t, invented(t, "", 3), map[string]string{
		"tank.volume": "20 L", "tank.glycerin": "0 %", "tank.loss": "1.5 W/K", "element.panel": "150 W", "element.voc": "0 V",
		"crop.minimum": "15 °C", "crop.comfortable": "18 °C", "crop.harm": "10 °C",
	})
	w := sheet(t, s)
	require.Len(t, w.Steady, 2)
	x := w.Steady[0]
	assert.InDelta(t, 150, x.Watts, 1e-9)
	assert.InDelta(t, 6.96, x.LossFree, 0.05, "4.18 kJ/kgK, 19.96 kg, 45 K, 150 W")
	require.NotNil(t, x.WithLoss)
	const capacity = 19.96 * 4180 // J/K
	assert.InDelta(t, capacity/1.5*math.Log(100./55)/3600, *x.WithLoss, 0.06)
	weak := set(t, s, map[string]string{"tank.loss": "3.5 W/K"})
	assert.Nil(t, sheet(t, weak).Steady[0].WithLoss, "150 W over 3.5 W/K are 43 K: it never gets there")
}

// Held at its minimum through a night that does not change, a cover takes U A dT: the U of
// a single layer between 5.7 and 6.8 W/m²K (extension.org, greenhouse glazing, Sanford).
func TestCoverTakesUADT(t *testing.T) {
	t.Parallel()
	s := set(t, invented(t, "", 4), map[string]string{
		"tunnel.cover_loss": "0 W/K", "tunnel.cover_area": "10 m2", "tunnel.layers": "1", "tunnel.air_changes": "0",
		"crop.minimum": "5 °C", "model.sky_share": "0 %",
	})
	s.Sky = func(weather.Sky) weather.Source { return still(-5) }
	require.NoError(t, s.Ready())
	w := sheet(t, s)
	dT := 5 - w.Night.House
	assert.InDelta(t, 10, dT, 1, "the bed warms the greenhouse a little")
	perArea := w.Night.Asked / 24 / 10 / dT
	assert.Greater(t, perArea, 5.0, "the greenhouse is a little warmer through the first hours")
	assert.Less(t, perArea, 6.8)
	assert.Zero(t, w.Heater.Now.Energy, "no sun")
	assert.Len(t, w.Heater.Days, 4)
}

// The sums of the worksheet agree with one another and with what is known of the parts.
func TestSheetAgreesWithItself(t *testing.T) {
	t.Parallel()
	s := invented(t, "plant-large.toml", 20)
	w := sheet(t, s)
	assert.Equal(t, 19, w.With.Nights)
	assert.Less(t, w.With.Squared, w.Without.Squared)
	assert.InEpsilon(t, 1000*w.Heater.Now.Energy, w.Heat.Into, 0.02, "what the light says and what the plant took, looked at every ten minutes and every one")
	require.Len(t, w.HeatUps, 3)
	assert.Greater(t, w.HeatUps[0].Sun, w.HeatUps[1].Sun)
	assert.Greater(t, w.HeatUps[1].Sun, w.HeatUps[2].Sun)
	for _, h := range w.HeatUps {
		assert.InDelta(t, h.Cold, h.Tank[0], 0.1)
	}
	demo := invented(t, "", 20)
	demo.Warm = 40
	hot := sheet(t, demo).HeatUps[0]
	assert.Greater(t, slices.Max(hot.Lossless), hot.Highest, "a tank hotter than the greenhouse loses heat")
	require.NotNil(t, hot.UntilLossless)
	require.NotNil(t, hot.Until)
	assert.LessOrEqual(t, *hot.UntilLossless, *hot.Until)
	for _, r := range w.Coil.Rows {
		assert.InDelta(t, 25*(r.Tank-5), r.Heat, 0.02*r.Heat, "a lumped coil of 25 W/K")
		require.NotNil(t, r.Leaving)
		assert.Less(t, *r.Leaving, r.Tank)
	}
	assert.InDelta(t, 600, w.Battery.Usable, 1e-9, "half of 1200 Wh")
	assert.InDelta(t, 600./32, w.Battery.Hours, 1e-9)
	assert.Less(t, w.Battery.Cold, w.Battery.Usable)
	sum := 0.0
	for _, d := range w.Heater.Days {
		sum += d
	}
	assert.InEpsilon(t, 1000*w.Heater.Now.Energy, sum, 1e-9)
	assert.InDelta(t, 51.286, w.Tank.Water+w.Tank.Pure, 0.6, "mixing shrinks a little")
}

// Two metres of a thin cable cost what Ohm's law says, and the fuse lies between load and
// what the cable carries.
func TestSheetCables(t *testing.T) {
	t.Parallel()
	s := set(t, invented(t, "plant-large.toml", 2), map[string]string{
		"cables.load_length": "5 m", "cables.load_section": "1.5 mm2", "cables.load_carries": "15 A",
		"cables.element_length": "10 m", "cables.element_section": "2.5 mm2", "cables.element_carries": "20 A",
	})
	w := sheet(t, s)
	require.Len(t, w.Cables, 2)
	panel, load := w.Cables[0], w.Cables[1]
	assert.InDelta(t, 2.5, load.Most, 1e-9, "30 W at 12 V")
	assert.InDelta(t, 0.297, load.Drop, 0.001, "2 x 5 m x 0.0178 ohm mm²/m / 1.5 mm² x 2.5 A")
	assert.InDelta(t, 4, *load.Fuse, 0)
	assert.True(t, load.Fits)
	assert.InDelta(t, 22.5, panel.Load, 0.1, "three panels of 6 A and a quarter more")
	assert.Less(t, panel.Most, panel.Load)
	assert.InEpsilon(t, w.Heater.Now.MaxW, panel.Most*panel.Most*1.08, 1e-6, "what flows is what heats")
	assert.InDelta(t, 2*10*0.0178/2.5, panel.Ohm, 1e-9)
	assert.InDelta(t, panel.Ohm, float64(s.File.Loop().Element.Cable), 0.001, "the heat is reckoned with the cable that is told")
	assert.False(t, panel.Fits, "30 A are more than the cable carries")
	words := text(w, quantity.SI)
	assert.Contains(t, words, "30 A, more than this cable carries: take a thicker one")
	assert.Contains(t, words, "would need")
}

// text is all words of a worksheet.
func text(w *sizing.Worksheet, u quantity.Units) string {
	var b strings.Builder
	for _, s := range w.Sections(u) {
		b.WriteString(s.Title + "\n" + strings.Join(s.Says, "\n") + "\n" + strings.Join(s.Head, "|") + "\n")
		for _, r := range s.Rows {
			b.WriteString(strings.Join(r, "|") + "\n")
		}
		b.WriteString(strings.Join(s.After, "\n") + "\n")
	}
	return b.String()
}
