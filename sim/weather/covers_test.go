package weather_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/weather"
)

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
