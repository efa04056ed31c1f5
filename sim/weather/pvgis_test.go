package weather_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/weather"
)

// The parts of PVGIS' level plane add up, and the beam is turned towards the sun.
func TestPVGISComponents(t *testing.T) {
	t.Parallel()
	f := readText(t, invented(t, "invented-pvgis-hourly.csv"))
	noon := f.Intervals[17] // line 27: 489.2 beam, 132.6 diffuse, sun 38.25° up
	assert.Equal(t, 27, noon.Line)
	assert.InDelta(t, 489.2+132.6, float64(noon.GHI), 1e-9)
	assert.InDelta(t, 132.6, float64(noon.DHI), 1e-9)
	assert.InDelta(t, 489.2/math.Sin(38.25*math.Pi/180), float64(noon.DNI), 1e-9)
	low := f.Intervals[12] // the sun 2.43° up
	assert.Equal(t, low.GHI, low.DHI)
	assert.Zero(t, low.DNI)
	// Without components: G(i) only, the rest is absent.
	whole := strings.Replace(invented(t, "invented-pvgis-hourly.csv"), "time,Gb(i),Gd(i),", "time,G(i),P,", 1)
	f = readText(t, whole)
	assert.InDelta(t, 489.2, float64(f.Intervals[17].GHI), 1e-9)
	assert.Equal(t, weather.Given{Wind: true}, f.Intervals[17].Given)
}

func TestPVGISTiltedPlaneIsRefused(t *testing.T) {
	t.Parallel()
	text := invented(t, "invented-pvgis-hourly.csv")
	for to, says := range map[string]string{"Slope: 35 deg. (optimum)": "tilted by 35 deg.", "Tracking: 2": "does not say that the plane is level"} {
		_, err := weather.Read(strings.NewReader(strings.Replace(text, "Slope: 0 deg.", to, 1)))
		require.ErrorIs(t, err, weather.ErrFile)
		assert.ErrorContains(t, err, says)
		assert.ErrorContains(t, err, "global horizontal irradiance is wanted")
	}
}

func TestPVGISTypicalYearsAndOffset(t *testing.T) {
	t.Parallel()
	text := invented(t, "invented-pvgis-typical.csv")
	without := readText(t, strings.Replace(text, "Irradiance Time Offset (h): 0.1761\r\n", "", 1))
	assert.Equal(t, "2011-01-30T00:00:00Z", without.Intervals[0].Middle().Format(time.RFC3339))
	before := readText(t, strings.Replace(text, "0.1761", "-0.3", 1))
	assert.Equal(t, "2011-01-29T23:42:00Z", before.Intervals[0].Middle().Format(time.RFC3339))
	assert.Len(t, before.Intervals, 96)
	assert.Empty(t, before.Notes)
	other := readText(t, strings.Replace(text, "\n2,2007", "\n2,2008", 1))
	assert.Contains(t, notes(other), "line 67: February of 2007, but the header says 2008")
	_, err := weather.Read(strings.NewReader(strings.Replace(text, "0.1761", "soon", 1)))
	assert.ErrorIs(t, err, weather.ErrFile)
	// Humidity to dew point by hand, 7.82 °C at 35.22 %: g = ln 0.3522 + 17.625 7.82 /
	// 250.86 = -0.4942; 243.04 g / (17.625 - g) = -6.63 °C.
	assert.InDelta(t, -6.63, float64(without.Intervals[19].DewPoint), 0.02)
}
