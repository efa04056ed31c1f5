package match_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/match"
	"duskloop/sim/pv"
)

// setA is a 36-cell panel of 100 W by its label.
func setA(t *testing.T) pv.Module {
	t.Helper()
	m, err := pv.Fit(pv.Nameplate{Voc: 22.3, Isc: 5.95, Vmp: 18.4, Imp: 5.43, Cells: 36, Alpha: 0.0005, Beta: -0.0031})
	require.NoError(t, err)
	return m
}

// steady is so many hours of one light, at 5 °C and 1 m/s.
func steady(t *testing.T, plane, hours float64) *match.Season {
	t.Helper()
	x := match.New(setA(t))
	x.Add(match.Light{Plane: quantity.WattPerSquareMetre(plane), Air: 5, Wind: 1, Hours: hours})
	return x
}

// Watts into five resistors and the maximum power, computed for the reference notes on
// heating by a resistor with pvlib-python (commit 6382338): set A, air 5 °C, wind 1 m/s,
// Faiman's temperature.
func TestWattsIntoAResistor(t *testing.T) {
	t.Parallel()
	ohms := []quantity.Ohm{1, 1.44, 2, 3.2, 5}
	for _, row := range []struct {
		plane, best float64
		watts       [5]float64
	}{
		{50, 5.0, [5]float64{0.1, 0.1, 0.2, 0.3, 0.4}},
		{100, 10.2, [5]float64{0.3, 0.5, 0.7, 1.1, 1.7}},
		{200, 20.7, [5]float64{1.4, 2.0, 2.8, 4.4, 6.8}},
		{300, 31.0, [5]float64{3.1, 4.5, 6.2, 9.9, 15.2}},
		{400, 41.1, [5]float64{5.6, 8.0, 11.0, 17.4, 26.7}},
		{600, 60.5, [5]float64{12.5, 17.9, 24.7, 38.7, 57.8}},
		{800, 78.7, [5]float64{22.3, 31.8, 43.6, 67.8, 74.0}},
		{1000, 95.8, [5]float64{34.8, 49.5, 67.7, 95.8, 76.7}},
	} {
		x := steady(t, row.plane, 2)
		assert.InDelta(t, row.best*2/1000, x.Best, 0.0008, "%v W/m²", row.plane)
		for i, r := range ohms {
			got := x.On(r, 0)
			assert.InDelta(t, row.watts[i], got.MaxW, 0.3+0.005*row.watts[i], "%v W/m² on %v", row.plane, r)
			assert.InEpsilon(t, got.MaxW*2/1000, got.Energy, 1e-12)
			assert.InEpsilon(t, math.Sqrt(got.MaxW*float64(r)), got.MaxV, 1e-9)
		}
	}
}

// The best resistance beats its neighbours; in one light it takes what the panel has.
func TestBestElement(t *testing.T) {
	t.Parallel()
	x := steady(t, 600, 1)
	top := x.BestElement(0)
	assert.InDelta(t, 100, top.MatchPct, 0.1)
	for _, r := range []float64{0.8, 1.25} {
		assert.Less(t, x.On(quantity.Ohm(r*top.Resistance), 0).Energy, top.Energy)
	}
	assert.Greater(t, top.Resistance, x.Knee(), "in less than full sun the best lies above Vmp over Imp")
}

// Days are told apart, dark ones too; their sum is the season's. A dark hour lengthens
// the season.
func TestDaily(t *testing.T) {
	t.Parallel()
	x := match.New(setA(t))
	for _, l := range []match.Light{{Plane: 500, Hours: 1, Day: 3}, {Plane: 700, Hours: 2, Day: 3}, {Hours: 10, Day: 4}, {Plane: 300, Hours: 1, Day: 5}} {
		x.Add(l)
	}
	days := x.Daily(3, 0.1, 6)
	require.Len(t, days, 6)
	assert.InEpsilon(t, 1000*x.On(3, 0.1).Energy, days[3]+days[5], 1e-12)
	assert.Greater(t, days[3], 3*days[5])
	assert.Zero(t, days[0]+days[1]+days[2]+days[4])
	assert.InDelta(t, 14./24, x.Days, 1e-12)
	heat, best := x.Above(600, 3, 0.1)
	assert.Greater(t, heat, best, "below the knee the heat hangs on bright hours more than the light does")
	watts, plane, _ := x.Most()
	assert.InDelta(t, 700, float64(plane), 0)
	assert.InDelta(t, 70, watts, 5)
}

// Every wiring of six panels uses six; alike panels on an element as much larger or
// smaller work where one did.
func TestWirings(t *testing.T) {
	t.Parallel()
	x, one := steady(t, 400, 1), match.Wiring{Series: 1, Parallel: 1}
	alone := x.On(3, 0.2)
	all := match.Wirings(6)
	require.Len(t, all, 4)
	for _, w := range all {
		assert.Equal(t, 6, w.Panels())
		scale := quantity.Ohm(float64(w.Series) / float64(w.Parallel))
		got := x.Rewired(one, w, 3*scale, 0.2*scale)
		assert.InEpsilon(t, 6*alone.Energy, got.Energy, 1e-9, "%v", w)
		assert.InEpsilon(t, alone.MatchPct, got.MatchPct, 1e-9)
	}
	assert.Equal(t, "2 in series, 3 in parallel", all[1].String())
}

// A panel in no light takes nothing, and nothing is divided by it.
func TestDarkSeason(t *testing.T) {
	t.Parallel()
	x := match.New(setA(t))
	x.Add(match.Light{Hours: 24})
	assert.Zero(t, x.On(3, 0).MatchPct)
	assert.Equal(t, []float64{0}, x.Daily(3, 0, 1))
	heat, best := x.Above(0, 3, 0)
	assert.Zero(t, heat+best)
}

// Below the knee the power goes with the square of the light: beside clouds, with a quarter
// more than full sun, an element that suits no winter's day must stand half as much again.
func TestStandsBrightClouds(t *testing.T) {
	t.Parallel()
	x := steady(t, 1000, 1)
	watts, volts := x.Stands(1.44, 0)
	assert.InEpsilon(t, 1.5625*x.On(1.44, 0).MaxW, watts, 0.06, "cold cells give some per cent less current")
	assert.InEpsilon(t, math.Sqrt(watts*1.44), volts, 1e-9)
	for _, c := range x.Choices(match.Wiring{Series: 1, Parallel: 1}, 2, match.Sold(), 0.1) {
		assert.GreaterOrEqual(t, c.Stand, c.MaxW)
		assert.Equal(t, c.Stand <= float64(c.Watts), c.Fits)
	}
	strong := steady(t, 1400, 1)
	watts, _ = strong.Stands(1.44, 0)
	assert.InEpsilon(t, strong.On(1.44, 0).MaxW, watts, 1e-9, "what was seen counts where it is more")
}
