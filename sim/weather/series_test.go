package weather_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

func seriesOf(t testing.TB, f *weather.File) *weather.Series {
	t.Helper()
	s, err := weather.NewSeries(f, siteOf(f))
	require.NoError(t, err)
	return s
}

// means integrates a series over an interval, minute by minute.
func means(s *weather.Series, i weather.Interval) (ghi, dni, dhi float64) {
	n := int(i.End.Sub(i.Start) / time.Minute)
	for k := range n {
		x := s.At(i.Start.Add(time.Duration(k)*time.Minute + 30*time.Second))
		ghi, dni, dhi = ghi+float64(x.GHI)/float64(n), dni+float64(x.DNI)/float64(n), dhi+float64(x.DHI)/float64(n)
	}
	return ghi, dni, dhi
}

// What an interval's mean was in the file it is in the series, for each kind of light
// that the file gave; and for global light in the whole.
func TestSeriesKeepsTheMeans(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"invented-tmy3.csv", "invented-pvgis-hourly.csv", "invented-nsrdb-30.csv", "invented-nsrdb-5.csv", "invented-plain.csv"} {
		keepsMeans(t, name, readText(t, invented(t, name)))
	}
	if f := realYear(t); f != nil {
		keepsMeans(t, "the real year", f)
	}
}

func keepsMeans(t *testing.T, name string, f *weather.File) {
	t.Helper()
	s := seriesOf(t, f)
	worst := 0.0
	for _, i := range f.Intervals {
		ghi, dni, dhi := means(s, i)
		worst = math.Max(worst, math.Abs(ghi-float64(i.GHI)))
		require.InDelta(t, float64(i.GHI), ghi, 0.01*float64(i.GHI)+1e-9, "%s line %d", name, i.Line)
		if i.Given.DNI && i.GHI > 20 && sunUp(f, i) {
			require.InDelta(t, float64(i.DNI), dni, 0.01*float64(i.DNI)+1e-9, "%s line %d", name, i.Line)
			require.InDelta(t, float64(i.DHI), dhi, 0.01*float64(i.DHI)+1e-9, "%s line %d", name, i.Line)
		}
	}
	t.Logf("%s: largest error of an interval's mean %.2g W/m2", name, worst)
}

func sunUp(f *weather.File, i weather.Interval) bool {
	return siteOf(f).Position(i.Start).Zenith < 90 && siteOf(f).Position(i.End).Zenith < 90
}

// Within an hour the light follows the sun: on the clear invented day the series made
// from hourly means comes back to the five-minute ones, but for the few per cent by
// which that sky's thin cloud wanders.
func TestSeriesHasTheShapeOfTheSky(t *testing.T) {
	t.Parallel()
	f := readText(t, invented(t, "invented-nsrdb-60.csv"))
	s, fine := seriesOf(t, f), readText(t, invented(t, "invented-nsrdb-5.csv"))
	for _, i := range fine.Intervals {
		got := s.At(i.Middle())
		require.InDelta(t, float64(i.GHI), float64(got.GHI), 0.06*float64(i.GHI)+6, "%v", i.Middle())
	}
}

// Nothing is split off where the file gave it, and where it did not the parts add up.
func TestSeriesSplitsWhatIsAbsent(t *testing.T) {
	t.Parallel()
	f := readText(t, invented(t, "invented-plain.csv"))
	s, site := seriesOf(t, f), siteOf(f)
	beam := 0.0
	for k := range 10 * 24 * 12 {
		at := f.Intervals[0].Start.Add(time.Duration(k) * 5 * time.Minute)
		x := s.At(at)
		c := math.Cos(float64(site.Position(at).Zenith) * math.Pi / 180)
		require.InDelta(t, float64(x.GHI), float64(x.DHI)+float64(x.DNI)*math.Max(c, 0), 0.01*float64(x.GHI)+0.5, "%v", at)
		beam += float64(x.DNI)
	}
	assert.Greater(t, beam, 1e4)
	noon := f.Intervals[12].Complete(site)
	dni, dhi := site.Split(f.Intervals[12].Middle(), site.Position(f.Intervals[12].Middle()).Zenith, noon.GHI)
	assert.Equal(t, dni, noon.DNI)
	assert.Equal(t, dhi, noon.DHI)
}

// Air, dew point and wind are straight between the middles, so at a middle they are
// the file's own and half-way the mean of both.
func TestSeriesIsStraightBetweenMiddles(t *testing.T) {
	t.Parallel()
	f := readText(t, invented(t, "invented-plain.csv"))
	s := seriesOf(t, f)
	for k := range f.Intervals[1:] {
		a, b := f.Intervals[k], f.Intervals[k+1]
		require.InDelta(t, float64(a.Air), float64(s.At(a.Middle()).Air), 1e-9)
		half := s.At(a.End)
		require.InDelta(t, float64(a.Air+b.Air)/2, float64(half.Air), 1e-9)
		require.InDelta(t, float64(a.DewPoint+b.DewPoint)/2, float64(half.DewPoint), 1e-9)
		require.InDelta(t, float64(a.Wind+b.Wind)/2, float64(half.Wind), 1e-9)
	}
}

// typicalYear is a year of invented hours whose air says which hour it is, in months
// from different years, as a plain file.
func typicalYear(zone string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# zone %s, latitude 44.2, longitude -78.6\ntime,air_c,ghi_w_m2\n", zone)
	for m := time.January; m <= time.December; m++ {
		year := 1990 + int(m)*7%11
		for at := time.Date(year, m, 1, 0, 0, 0, 0, time.UTC); at.Month() == m; at = at.Add(time.Hour) {
			if m == time.February && at.Day() == 29 {
				continue
			}
			fmt.Fprintf(&b, "%s,%.2f,0\n", at.Format("2006-01-02T15:04:05"), float64(m)+float64(at.Day())/100)
		}
	}
	return b.String()
}

func TestTypicalYearStandsForAnyYear(t *testing.T) {
	t.Parallel()
	f := readText(t, typicalYear("-05:00"))
	require.True(t, f.Typical)
	assert.Empty(t, f.Notes)
	s := seriesOf(t, f)
	assert.Empty(t, s.Notes)
	zone := time.FixedZone("", -5*3600)
	for _, year := range []int{1970, 2024, 2025, 2100} {
		for at := time.Date(year, 1, 1, 12, 30, 0, 0, zone); at.Year() == year; at = at.AddDate(0, 0, 1) {
			day := at.Day()
			if at.Month() == time.February && day == 29 {
				day = 28 // which the file has not: the 28th again
			}
			require.InDelta(t, float64(at.Month())+float64(day)/100, float64(s.At(at.UTC()).Air), 1e-9, "%v", at)
		}
		require.NoError(t, s.Covers(time.Date(year, 10, 1, 0, 0, 0, 0, zone), time.Date(year+1, 5, 1, 0, 0, 0, 0, zone)))
	}
	// Over the turn of the year, too, it is straight.
	turn := s.At(time.Date(2027, 1, 1, 0, 0, 0, 0, zone))
	assert.InDelta(t, (12.31+1.01)/2, float64(turn.Air), 1e-9)
}

func TestSeriesKnowsOnlyItsTime(t *testing.T) {
	t.Parallel()
	f := readText(t, invented(t, "invented-plain.csv"))
	s := seriesOf(t, f)
	first, last := f.Intervals[0], f.Intervals[len(f.Intervals)-1]
	assert.NoError(t, s.Covers(first.Start, last.End))
	err := s.Covers(first.Start, last.End.Add(time.Second))
	require.ErrorIs(t, err, weather.ErrFile)
	assert.ErrorContains(t, err, "2026-01-25 to 2026-02-04")
	assert.Error(t, s.Covers(first.Start.AddDate(1, 0, 0), last.End.AddDate(1, 0, 0)), "no typical year")
	assert.Equal(t, last.Air, s.At(last.End.AddDate(0, 0, 3)).Air)
	// A typical year of some days knows them and a week, no more.
	some := seriesOf(t, readText(t, invented(t, "invented-tmy3.csv")))
	assert.NoError(t, some.Covers(time.Date(2026, 1, 15, 12, 0, 0, 0, time.UTC), time.Date(2026, 1, 23, 12, 0, 0, 0, time.UTC)))
	assert.ErrorContains(t, some.Covers(time.Date(2026, 1, 15, 12, 0, 0, 0, time.UTC), time.Date(2026, 1, 25, 12, 0, 0, 0, time.UTC)), "nothing near 24 January")
}

// Up to six hours are the straight line between the neighbours, light as its share of
// a cloudless sky's; a longer gap is the day before.
func TestSeriesFillsGaps(t *testing.T) {
	t.Parallel()
	lines := strings.SplitAfter(invented(t, "invented-nsrdb-60.csv"), "\n")
	short := append(append([]string{}, lines[:37]...), lines[42:]...) // from 10:30 of the second day five hours
	f := readText(t, strings.Join(short, ""))
	s, whole := seriesOf(t, f), readText(t, strings.Join(lines, ""))
	require.Len(t, s.Notes, 1)
	assert.Equal(t, "line 38: 5h0m0s before this row are the straight line between the neighbours", s.Notes[0].String())
	for k := 34; k < 39; k++ {
		i := whole.Intervals[k]
		ghi, _, _ := means(s, i)
		assert.InEpsilon(t, float64(i.GHI), ghi, 0.05, "a clear day's noon is not cut off, %v", i.Middle())
	}
	a, b := whole.Intervals[33].Air, whole.Intervals[39].Air
	assert.InDelta(t, float64(a+b)/2, float64(s.At(whole.Intervals[36].Middle()).Air), 1e-9)

	long := append(append([]string{}, lines[:33]...), lines[43:]...) // ten hours
	s = seriesOf(t, readText(t, strings.Join(long, "")))
	assert.Equal(t, "line 34: 10h0m0s before this row are the same hours of the day before", s.Notes[0].String())
	assert.InDelta(t, float64(whole.Intervals[12].Air), float64(s.At(whole.Intervals[36].Middle()).Air), 1e-9)
}

func TestSeriesAllocatesNothing(t *testing.T) {
	f := readText(t, invented(t, "invented-tmy3.csv"))
	s, at := seriesOf(t, f), time.Date(2026, 1, 15, 5, 0, 0, 0, time.UTC)
	assert.Zero(t, testing.AllocsPerRun(3000, func() {
		at = at.Add(time.Minute)
		s.At(at)
	}))
}

// BenchmarkSeries is a question a minute later, as a season asks.
func BenchmarkSeries(b *testing.B) {
	f := readText(b, invented(b, "invented-tmy3.csv"))
	s, err := weather.NewSeries(f, sun.Site{Latitude: 44.2, Longitude: -78.6})
	require.NoError(b, err)
	at := time.Date(2026, 1, 15, 5, 0, 0, 0, time.UTC)
	b.ReportAllocs()
	for b.Loop() {
		at = at.Add(time.Minute)
		s.At(at)
	}
}

var _ weather.Source = (*weather.Series)(nil)
