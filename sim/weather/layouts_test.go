package weather_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// invented is the text of a file of testdata/weather.
func invented(t testing.TB, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "weather", name))
	require.NoError(t, err)
	return string(text)
}

// readText reads a weather file that must be readable.
func readText(t testing.TB, text string) *weather.File {
	t.Helper()
	f, err := weather.Read(strings.NewReader(text))
	require.NoError(t, err)
	return f
}

// realYear is the real typical year, which DUSKLOOP_WEATHER names, or nil.
func realYear(t testing.TB) *weather.File {
	t.Helper()
	path := os.Getenv("DUSKLOOP_WEATHER")
	if path == "" {
		t.Log("DUSKLOOP_WEATHER is not set: invented days only, no real year")
		return nil
	}
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return readText(t, string(text))
}

func siteOf(f *weather.File) sun.Site {
	return sun.Site{Latitude: f.Station.Latitude, Longitude: f.Station.Longitude, Elevation: f.Station.Elevation}
}

// clearDay are the intervals between two solar midnights, of a day whose light is at
// least 80 % of a cloudless sky's, none missing.
type clearDay struct {
	noon      time.Time
	intervals []weather.Interval
}

func clearDays(f *weather.File) []clearDay {
	site := siteOf(f)
	var days []clearDay
	for i := 0; i < len(f.Intervals); {
		noon := site.Day(f.Intervals[i].Middle()).Noon
		if f.Intervals[i].Middle().Sub(noon) > 12*time.Hour {
			noon = site.Day(f.Intervals[i].Middle().AddDate(0, 0, 1)).Noon
		}
		d := clearDay{noon: noon}
		var light, clear float64
		for ; i < len(f.Intervals) && f.Intervals[i].Middle().Sub(noon).Abs() <= 12*time.Hour+time.Minute; i++ {
			_, open := site.ClearSky(f.Intervals[i].Middle())
			light, clear = light+float64(f.Intervals[i].GHI), clear+float64(open)
			d.intervals = append(d.intervals, f.Intervals[i])
		}
		if len(d.intervals) == 0 {
			i++
			continue
		}
		if time.Duration(len(d.intervals))*f.Step >= 22*time.Hour && light > 0.8*clear {
			days = append(days, d)
		}
	}
	return days
}

// lag is how far the light's centroid lies behind the sun's noon in the mean over
// clear days, when every stamp is moved by shift.
func lag(days []clearDay, shift time.Duration) time.Duration {
	var total float64
	for _, d := range days {
		var sum, weighted float64
		for _, i := range d.intervals {
			sum += float64(i.GHI)
			weighted += float64(i.GHI) * i.Middle().Add(shift).Sub(d.noon).Seconds()
		}
		total += weighted / sum
	}
	return time.Duration(total / float64(len(days)) * float64(time.Second))
}

// The centroid of a clear day's light lies at the sun's noon within a quarter of the
// interval. Noon is that of sim/sun, which is held to the Solar Position Algorithm.
// A reader that took the end of an interval for its start or middle, or the other
// way round, would fail: shifted by half an interval, every layout does.
func TestTheSunAgreesWithTheStamps(t *testing.T) {
	t.Parallel()
	files := map[string]*weather.File{}
	for name, want := range map[string]time.Duration{
		"invented-tmy3.csv": time.Hour, "invented-pvgis-hourly.csv": time.Hour, "invented-pvgis-typical.csv": time.Hour,
		"invented-nsrdb-60.csv": time.Hour, "invented-nsrdb-30.csv": 30 * time.Minute, "invented-nsrdb-5.csv": 5 * time.Minute,
		"invented-plain.csv": time.Hour,
	} {
		files[name] = readText(t, invented(t, name))
		assert.Equal(t, want, files[name].Step, name)
	}
	if f := realYear(t); f != nil {
		files["the real year"] = f
	}
	for name, f := range files {
		days := clearDays(f)
		if !assert.NotEmpty(t, days, name) {
			continue
		}
		got := lag(days, 0)
		t.Logf("%s: %d clear days, centroid %v behind noon, interval %v", name, len(days), got.Round(time.Second), f.Step)
		assert.Less(t, got.Abs(), f.Step/4, name)
		for _, mistaken := range []time.Duration{-f.Step, -f.Step / 2, f.Step / 2, f.Step} {
			assert.GreaterOrEqual(t, lag(days, mistaken).Abs(), f.Step/4, "%s with stamps mistaken by %v", name, mistaken)
		}
	}
}

// The same day with its stamps at the start, the middle and the end, in two zones, is
// the same day.
func TestPlainStampsAndZones(t *testing.T) {
	t.Parallel()
	end := readText(t, invented(t, "invented-plain.csv"))
	for _, x := range []struct {
		say    string
		zone   int
		behind time.Duration
	}{{"start", -5, -time.Hour}, {"middle", -5, -time.Hour / 2}, {"end", 0, 0}, {"end", 3, 0}} {
		zone := time.FixedZone("", x.zone*3600)
		var b strings.Builder
		b.WriteString("# stamp " + x.say + "\ntime,air_c,ghi_w_m2\n")
		for _, i := range end.Intervals[:48] {
			b.WriteString(i.End.Add(x.behind).In(zone).Format(time.RFC3339) + ",1,0\n")
		}
		f := readText(t, b.String())
		for k, i := range f.Intervals {
			require.True(t, i.Start.Equal(end.Intervals[k].Start), "%s: %v is not %v", x.say, i.Start, end.Intervals[k].Start)
		}
		assert.Equal(t, time.Duration(x.zone)*time.Hour, f.Station.Offset)
		assert.False(t, f.Station.Known)
	}
}

// Lag finds the same without being told the noon, and finds a clock that is wrong.
func TestLagFindsAWrongClock(t *testing.T) {
	t.Parallel()
	text := invented(t, "invented-plain.csv")
	f := readText(t, text)
	got, days := f.Lag(siteOf(f))
	assert.GreaterOrEqual(t, days, 5)
	assert.Less(t, got.Abs(), 3*time.Minute)
	wrong := readText(t, strings.Replace(text, "stamp: end", "stamp: start", 1))
	got, _ = wrong.Lag(siteOf(wrong))
	assert.InDelta(t, time.Hour.Minutes(), got.Minutes(), 12)
	none, days := readText(t, typicalYear("-05:00")).Lag(siteOf(f))
	assert.Zero(t, none)
	assert.Zero(t, days)
}
