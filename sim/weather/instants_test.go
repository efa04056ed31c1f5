package weather_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// TMY3 gives air, dew point, wind and cloud at the time indicated (Wilcox & Marion,
// NREL/TP-581-43156, as the documentation of pvlib-python's reader quotes its table of
// fields): the values of line 17 of the file, stamped 15:00, are those of 15:00, and
// those of 14:30 lie half-way between the lines 16 and 17.
func TestAirOfTMY3IsThatOfTheStamp(t *testing.T) {
	t.Parallel()
	f := readText(t, invented(t, "invented-tmy3.csv"))
	s := seriesOf(t, f)
	zone := time.FixedZone("", -5*3600)
	three := s.At(time.Date(2026, 1, 15, 15, 0, 0, 0, zone))
	assert.InDelta(t, 3.0, float64(three.Air), 1e-9)
	assert.InDelta(t, -1.0, float64(three.DewPoint), 1e-9)
	assert.InDelta(t, 3.0, float64(three.Wind), 1e-9)
	assert.InDelta(t, 0.0, float64(three.Cloud), 1e-9)
	half := s.At(time.Date(2026, 1, 15, 14, 30, 0, 0, zone))
	assert.InDelta(t, (2.8+3.0)/2, float64(half.Air), 1e-9)
	assert.InDelta(t, (2.5+3.0)/2, float64(half.Wind), 1e-9)
	for k := range 47 { // the two days that follow each other
		i := f.Intervals[k]
		require.InDelta(t, float64(i.Air), float64(s.At(i.End).Air), 1e-9, "line %d", i.Line)
	}
}

// The irradiance of PVGIS' typical year is late by what its header says, the air is not:
// whatever the time offset, the air of a row is that of its stamp.
func TestAirOfPVGISIsThatOfTheStamp(t *testing.T) {
	t.Parallel()
	text := invented(t, "invented-pvgis-typical.csv")
	for _, offset := range []string{"0.1761", "-0.3", "0.75", "-1"} {
		f := readText(t, strings.Replace(text, "0.1761", offset, 1))
		s := seriesOf(t, f)
		for k := range 47 {
			i := f.Intervals[k+1]
			stamp := time.Date(2011, 1, 30, k+1, 0, 0, 0, time.UTC)
			require.InDelta(t, float64(i.Air), float64(s.At(stamp).Air), 1e-6, "%s h: line %d", offset, i.Line)
		}
	}
}

// An interval keeps its own row's air beside its light.
func TestAnIntervalKeepsItsRowTogether(t *testing.T) {
	t.Parallel()
	f := readText(t, invented(t, "invented-tmy3.csv"))
	i := f.Intervals[14]
	assert.Equal(t, 17, i.Line)
	got := i.Complete(sun.Site{Latitude: 44.2, Longitude: -78.6})
	assert.InDelta(t, 3.0, float64(got.Air), 1e-9)
	assert.InDelta(t, 3.0, float64(got.Wind), 1e-9)
	assert.InDelta(t, 332, float64(got.GHI), 1e-9)
}

// A file cannot put its air further from its light than a day.
func TestAirFarFromItsLightIsRefused(t *testing.T) {
	t.Parallel()
	f := readText(t, invented(t, "invented-tmy3.csv"))
	f.AirAfter = 25 * time.Hour
	_, err := weather.NewSeries(f, sun.Site{})
	assert.ErrorIs(t, err, weather.ErrFile)
}
