package weather_test

import (
	"math"
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
