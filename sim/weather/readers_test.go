package weather_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/weather"
)

// notes are all notes of a file, one a line.
func notes(f *weather.File) string {
	var all []string
	for _, n := range f.Notes {
		all = append(all, n.String())
	}
	return strings.Join(all, "\n")
}

func TestEachLayoutIsKnownByItsContent(t *testing.T) {
	t.Parallel()
	rows := []struct {
		file, format, first string
		n                   int
		typical             bool
		given               weather.Given
	}{
		{"invented-tmy3.csv", "TMY3", "1991-01-15T00:30:00-05:00", 72, true, weather.Given{DewPoint: true, DNI: true, DHI: true, Wind: true, Cloud: true}},
		{"invented-pvgis-hourly.csv", "PVGIS hourly", "2018-03-01T00:10:00Z", 72, false, weather.Given{DNI: true, DHI: true, Wind: true}},
		{"invented-pvgis-typical.csv", "PVGIS typical year", "2011-01-30T00:10:34Z", 96, true, weather.Given{DewPoint: true, DNI: true, DHI: true, Wind: true}},
		{"invented-nsrdb-60.csv", "NSRDB", "2019-02-27T00:30:00-05:00", 48, false, weather.Given{DewPoint: true, DNI: true, DHI: true, Wind: true}},
		{"invented-nsrdb-30.csv", "NSRDB", "2019-02-27T00:00:00-05:00", 96, false, weather.Given{DewPoint: true, DNI: true, DHI: true, Wind: true}},
		{"invented-nsrdb-5.csv", "NSRDB", "2019-02-27T00:00:00-05:00", 288, false, weather.Given{DewPoint: true, DNI: true, DHI: true, Wind: true}},
		{"invented-plain.csv", "plain", "2026-01-25T00:30:00-05:00", 240, false, weather.Given{DewPoint: true, Wind: true}},
	}
	for _, r := range rows {
		f := readText(t, invented(t, r.file))
		assert.Equal(t, r.format, f.Format, r.file)
		assert.Equal(t, r.first, f.Intervals[0].Middle().Format(time.RFC3339), r.file)
		assert.Len(t, f.Intervals, r.n, r.file)
		assert.Equal(t, r.typical, f.Typical, r.file)
		assert.Equal(t, r.given, f.Intervals[12].Given, r.file)
		assert.Empty(t, f.Notes, r.file)
		assert.True(t, f.Station.Known, r.file)
		assert.InDelta(t, 44.2, float64(f.Station.Latitude), 1e-9, r.file)
		assert.InDelta(t, -78.6, float64(f.Station.Longitude), 1e-9, r.file)
		assert.InDelta(t, 190, float64(f.Station.Elevation), 1e-9, r.file)
	}
}

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

// Full stamps mean the start or the middle as the sun in the rows says; without direct
// and diffuse light, hours begin there and shorter steps are around them.
func TestFullStampsOfNSRDB(t *testing.T) {
	t.Parallel()
	hourly := strings.ReplaceAll(invented(t, "invented-nsrdb-60.csv"), ",30,", ",0,")
	half, early := invented(t, "invented-nsrdb-30.csv"), halfHours(t, invented(t, "invented-nsrdb-5.csv"))
	for _, r := range []struct{ name, text, first string }{
		{"the hour that begins", hourly, "2019-02-27T00:30:00-05:00"},
		{"half hours around", half, "2019-02-27T00:00:00-05:00"},
		{"half hours that begin", early, "2019-02-27T00:15:00-05:00"},
		{"hours of global light only", strings.Replace(hourly, "DHI,DNI,", "x,y,", 1), "2019-02-27T00:30:00-05:00"},
		{"half hours of global light only", strings.Replace(half, "DHI,DNI,", "x,y,", 1), "2019-02-27T00:00:00-05:00"},
		{"half hours with their middle", quarterPast(half), "2019-02-27T00:15:00-05:00"},
	} {
		f := readText(t, r.text)
		assert.Equal(t, r.first, f.Intervals[0].Middle().Format(time.RFC3339), r.name)
	}
}

// halfHours are the means of six rows of five minutes each, stamped like the first.
func halfHours(t *testing.T, text string) string {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(text), "\n")
	out := lines[:3:3]
	for n := 3; n+6 <= len(lines); n += 6 {
		var sum [11]float64
		for _, line := range lines[n : n+6] {
			for k, cell := range strings.Split(line, ",") {
				v, err := strconv.ParseFloat(cell, 64)
				require.NoError(t, err)
				sum[k] += v / 6
			}
		}
		stamp := strings.Join(strings.Split(lines[n], ",")[:5], ",")
		out = append(out, fmt.Sprintf("%s,%.1f,%.1f,%.0f,%.0f,%.0f,%.1f", stamp, sum[5], sum[6], sum[7], sum[8], sum[9], sum[10]))
	}
	return strings.Join(out, "\n")
}

// quarterPast is a dark NSRDB file a quarter of an hour later.
func quarterPast(text string) string {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	for n := 3; n < len(lines); n++ {
		cells := strings.Split(lines[n], ",")
		cells[4] = map[string]string{"0": "15", "30": "45"}[cells[4]]
		lines[n] = strings.Join(cells[:5], ",") + ",1,1,0,0,0,1"
	}
	return strings.Join(lines, "\n")
}

func TestWhatIsWrongIsNotedWithItsLine(t *testing.T) {
	t.Parallel()
	rows := []struct{ name, text, says string }{
		{"a doubled stamp", "2020-02-28T01:00:00Z,1,0\n2020-02-28T01:00:00Z,1,0", "line 5: left out: the same time as line 4"},
		{"back in time", "2020-02-28T01:00:00Z,1,0\n2020-02-27T01:00:00Z,1,0", "line 5: left out: earlier than line 4"},
		{"a gap", "2020-02-28T04:00:00Z,1,0", "line 4: 3h0m0s missing before this row"},
		{"an overlap", "2020-02-28T00:30:00Z,1,0", "line 4: begins 30m0s before the row above ends"},
		{"too hot", "2020-02-28T01:00:00Z,70,0", "line 4: left out: air 70 °C"},
		{"too bright", "2020-02-28T01:00:00Z,1,1700", "line 4: left out: global irradiance 1700 W/m2"},
		{"no number", "2020-02-28T01:00:00Z,1,bright", `line 4: left out: "bright" is no number`},
		{"NaN", "2020-02-28T01:00:00Z,NaN,0", `line 4: left out: "NaN" is no number`},
		{"a short row", "2020-02-28T01:00:00Z,1", `line 4: left out: "" is no number`},
		{"no such day", "2021-02-29T01:00:00Z,1,0", `line 4: left out: time "2021-02-29T01:00:00Z" is not as`},
		{"a calm too calm", "2020-02-28T01:00:00Z,1,0,-3", "line 4: a value left out: wind -3 is outside 0 to 115"},
	}
	for _, r := range rows {
		f := readText(t, "time,air_c,ghi_w_m2,wind_m_s\n2020-02-27T23:00:00Z,1,0\n2020-02-28T00:00:00Z,1,-2\n"+r.text+
			"\n2020-02-28T05:00:00Z,1,0\n2020-02-28T06:00:00Z,1,0\n2020-02-28T07:00:00Z,1,0\n")
		assert.Contains(t, notes(f), r.says, r.name)
	}
	unsaid := readText(t, "time,air_c,ghi_w_m2\n2020-02-27 23:00,1,0\n2020-02-28 00:00,1,0\n")
	assert.Contains(t, notes(unsaid), "line 2: times say no offset from UTC and no comment gives a zone: taken as UTC")
	assert.Equal(t, "2020-02-27T23:30:00Z", unsaid.Intervals[0].Middle().Format(time.RFC3339), "stamps are the start if nothing is said")
}

func TestLeapDays(t *testing.T) {
	t.Parallel()
	days := func(dates ...string) string {
		var b strings.Builder
		b.WriteString("time,air_c,ghi_w_m2\n")
		for _, d := range dates {
			for h := range 24 {
				b.WriteString(d + time.Date(1, 1, 1, h, 0, 0, 0, time.UTC).Format("T15:04:05Z") + ",1,0\n")
			}
		}
		return b.String()
	}
	assert.Empty(t, readText(t, days("2020-02-28", "2020-02-29", "2020-03-01")).Notes)
	assert.Empty(t, readText(t, days("2019-02-28", "2019-03-01")).Notes)
	assert.Contains(t, notes(readText(t, days("2020-02-28", "2020-03-01"))), "line 26: 29 February is missing before this row")
}

// Months from different years are joined in any layout; a real gap is told.
func TestTypicalMonthsAreJoined(t *testing.T) {
	t.Parallel()
	text := "time,air_c,ghi_w_m2\n"
	for _, hour := range []string{"2003-01-31T22", "2003-01-31T23", "2015-02-01T00", "2015-02-01T01", "2001-03-01T00", "2001-03-01T01"} {
		text += hour + ":00:00Z,1,0\n"
	}
	f := readText(t, text)
	assert.True(t, f.Typical)
	assert.Empty(t, f.Notes)
	assert.Len(t, f.Intervals, 6)
	gap := readText(t, "time,air_c,ghi_w_m2\n2015-12-01T00:00:00Z,1,0\n2015-12-01T01:00:00Z,1,0\n2016-01-15T00:00:00Z,1,0\n")
	assert.False(t, gap.Typical)
	assert.Contains(t, notes(gap), "line 4: 1078h0m0s missing before this row")
}
