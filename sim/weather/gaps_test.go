package weather_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// stretch is a run of dark hours of one air temperature from midnight UTC of a day on.
type stretch struct {
	from string
	days int
	air  float64
}

// record is a plain file of stretches of hours.
func record(t *testing.T, all ...stretch) *weather.File {
	t.Helper()
	var b strings.Builder
	b.WriteString("# zone: 0\ntime,air_c,ghi_w_m2\n")
	for _, x := range all {
		from, err := time.Parse(time.DateOnly, x.from)
		require.NoError(t, err)
		for h := range 24 * x.days {
			fmt.Fprintf(&b, "%s,%g,0\n", from.Add(time.Duration(h)*time.Hour).Format(time.RFC3339), x.air)
		}
	}
	return readText(t, b.String())
}

// Two winters with a gap between are a record with a gap, and no typical year put
// together from months, wherever the gap lies: the second is not lost, neither stands
// for the other, and what lies between is refused.
func TestALongGapIsNoTypicalYear(t *testing.T) {
	t.Parallel()
	for name, all := range map[string][]stretch{
		"within a month":          {{"2023-10-01", 170, 10}, {"2025-10-01", 100, -10}},
		"from turn to turn":       {{"2023-10-01", 183, 10}, {"2025-10-01", 100, -10}},
		"a year and nothing more": {{"2023-09-01", 91, 10}, {"2025-12-01", 31, -10}},
	} {
		f := record(t, all...)
		assert.False(t, f.Typical, name)
		assert.Equal(t, 24*(all[0].days+all[1].days), len(f.Intervals), name)
		require.Len(t, f.Notes, 1, name)
		assert.Contains(t, f.Notes[0].Text, "missing before this row", name)
		s, err := weather.NewSeries(f, sun.Site{})
		require.NoError(t, err)
		early, late := time.Date(2023, 11, 15, 17, 0, 0, 0, time.UTC), time.Date(2025, 12, 15, 17, 0, 0, 0, time.UTC)
		for at, air := range map[time.Time]float64{early: 10, late: -10} {
			require.NoError(t, s.Covers(at, at.AddDate(0, 0, 10)), name)
			assert.InDelta(t, air, float64(s.At(at).Air), 1e-9, name)
			assert.ErrorIs(t, s.Covers(at.AddDate(5, 0, 0), at.AddDate(5, 0, 10)), weather.ErrFile, name)
		}
		between := late.AddDate(-1, 0, 0)
		assert.ErrorContains(t, s.Covers(between, between.AddDate(0, 0, 10)), "nothing near 15 December 2024", name)
	}
}

// A record never goes back in time; months that do, each begun where the one before it
// ended, were put together. Rows that go back anywhere else are out of order.
func TestTypicalMonthsAreJoined(t *testing.T) {
	t.Parallel()
	f := record(t, stretch{"2003-01-01", 31, 1}, stretch{"2012-02-01", 28, 2}, stretch{"2001-03-01", 31, 3})
	assert.True(t, f.Typical, "29 February is left out of typical years")
	assert.Empty(t, f.Notes)
	assert.Equal(t, 24*90, len(f.Intervals))
	late := record(t, stretch{"2003-07-01", 31, 1}, stretch{"2001-08-01", 31, 2}, stretch{"2001-09-01", 122, 3}, stretch{"1999-01-01", 31, 4})
	assert.True(t, late.Typical, "a year from July on")
	assert.Equal(t, 24*215, len(late.Intervals))
	for name, all := range map[string][]stretch{
		"a month left out":      {{"2003-01-01", 31, 1}, {"2001-03-01", 31, 3}},
		"begun within a month":  {{"2003-01-01", 31, 1}, {"2001-02-03", 26, 3}},
		"ended within a month":  {{"2003-01-01", 29, 1}, {"2001-02-01", 28, 3}},
		"more than a year":      {{"2003-01-01", 31, 1}, {"2001-02-01", 400, 3}},
		"one mid-month besides": {{"2003-01-01", 31, 1}, {"2001-02-01", 28, 2}, {"1999-05-20", 3, 3}},
	} {
		f := record(t, all...)
		assert.False(t, f.Typical, name)
		assert.Contains(t, notes(f), "left out: earlier than line", name)
	}
	gap := readText(t, "time,air_c,ghi_w_m2\n2015-12-01T00:00:00Z,1,0\n2015-12-01T01:00:00Z,1,0\n2016-01-15T00:00:00Z,1,0\n")
	assert.False(t, gap.Typical)
	assert.Contains(t, notes(gap), "line 4: 1078 h missing before this row")
}

// Beside what stays unknown the weather is that of the row itself, not drawn towards
// nothing.
func TestNothingIsDrawnTowardsAGap(t *testing.T) {
	t.Parallel()
	s, err := weather.NewSeries(record(t, stretch{"2023-10-01", 40, 10}, stretch{"2024-01-20", 3, -10}), sun.Site{})
	require.NoError(t, err)
	assert.InDelta(t, -10, float64(s.At(time.Date(2024, 1, 20, 0, 0, 0, 0, time.UTC)).Air), 1e-9)
	some := seriesOf(t, readText(t, invented(t, "invented-tmy3.csv")))
	first := readText(t, invented(t, "invented-tmy3.csv")).Intervals[0]
	assert.InDelta(t, float64(first.Air), float64(some.At(first.Start.AddDate(30, 0, 0)).Air), 1e-9)
}
