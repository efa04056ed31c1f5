package weather_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

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

func TestWhatIsWrongIsNotedWithItsLine(t *testing.T) {
	t.Parallel()
	rows := []struct{ name, text, says string }{
		{"a doubled stamp", "2020-02-28T01:00:00Z,1,0\n2020-02-28T01:00:00Z,1,0", "line 5: left out: the same time as line 4"},
		{"back in time", "2020-02-28T01:00:00Z,1,0\n2020-02-27T01:00:00Z,1,0", "line 5: left out: earlier than line 4"},
		{"a gap", "2020-02-28T04:00:00Z,1,0", "line 4: 3 h missing before this row"},
		{"an overlap", "2020-02-28T00:30:00Z,1,0", "line 4: begins 30 min before the row above ends"},
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

// A pyranometer's dome may read some watts below nothing at night (15 W/m² at most, a
// bound of ours): that is darkness. What is further below is a fault: without global
// light the row is left out, without direct or diffuse the value.
func TestDarkReadings(t *testing.T) {
	t.Parallel()
	row := func(ghi, dni, dhi float64) *weather.File {
		return readText(t, "time,air_c,ghi_w_m2,dni_w_m2,dhi_w_m2\n2020-02-28T00:00:00Z,1,0,0,0\n"+
			fmt.Sprintf("2020-02-28T01:00:00Z,1,%g,%g,%g\n", ghi, dni, dhi)+"2020-02-28T02:00:00Z,1,0,0,0\n2020-02-28T03:00:00Z,1,0,0,0\n")
	}
	dark := row(-15, -14, -13)
	assert.Empty(t, dark.Notes)
	assert.Equal(t, [3]float64{}, [3]float64{float64(dark.Intervals[1].GHI), float64(dark.Intervals[1].DNI), float64(dark.Intervals[1].DHI)})
	assert.True(t, dark.Intervals[1].Given.DNI && dark.Intervals[1].Given.DHI)
	assert.Contains(t, notes(row(-16, 0, 0)), "line 3: left out: global irradiance -16 W/m2")
	faulty := row(0, -16, -17)
	assert.Contains(t, notes(faulty), "line 3: a value left out: direct irradiance -16 is outside -15 to 1500")
	assert.Contains(t, notes(faulty), "line 3: a value left out: diffuse irradiance -17 is outside -15 to 1000")
	assert.False(t, faulty.Intervals[1].Given.DNI || faulty.Intervals[1].Given.DHI)
}

// Over its air no dew point stands: a row that says so has the air's.
func TestDewPointIsHeldToTheAir(t *testing.T) {
	t.Parallel()
	f := readText(t, "time,air_c,ghi_w_m2,dew_point_c\n2020-02-28T00:00:00Z,1,0,0.5\n2020-02-28T01:00:00Z,1,0,1.4\n2020-02-28T02:00:00Z,-3,0,\n")
	assert.InDelta(t, 0.5, float64(f.Intervals[0].DewPoint), 1e-9)
	assert.InDelta(t, 1, float64(f.Intervals[1].DewPoint), 1e-9)
	assert.Equal(t, weather.Given{}, f.Intervals[2].Given)
	assert.Zero(t, f.Intervals[2].DewPoint, "nothing said, nothing there")
}
