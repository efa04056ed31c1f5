package weather

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func invented(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "weather", "invented-tmy3.csv"))
	require.NoError(t, err)
	return string(text)
}

func TestTypicalYear(t *testing.T) {
	t.Parallel()
	f, err := Read(strings.NewReader(invented(t)))
	require.NoError(t, err)
	assert.Equal(t, "TMY3", f.Format)
	assert.Equal(t, "ALDER HOLLOW (INVENTED)", f.Station.Name)
	assert.Equal(t, -5*time.Hour, f.Station.Offset)
	assert.InDelta(t, 44.2, float64(f.Station.Latitude), 1e-9)
	require.Len(t, f.Intervals, 72)
	assert.Empty(t, f.Notes, "a change of year between months is no gap")
	first, last := f.Intervals[0], f.Intervals[23]
	assert.Equal(t, "1991-01-15T00:30:00-05:00", first.Middle().Format(time.RFC3339), "stamped at the end of the hour, local standard time")
	assert.Equal(t, "1991-01-16T00:00:00-05:00", last.End.Format(time.RFC3339), "24:00 is the midnight that ends the day")
}

// The energy-weighted mean time of a clear day lies at the sun's noon; a reader
// that took the stamps for the beginning would be half an hour and more off.
func TestStampsAgreeWithTheSun(t *testing.T) {
	t.Parallel()
	f, err := Read(strings.NewReader(invented(t)))
	require.NoError(t, err)
	var sum, weighted float64
	for _, i := range f.Intervals[:24] {
		sum += float64(i.GHI)
		weighted += float64(i.GHI) * i.Middle().Sub(f.Intervals[0].Start).Hours()
	}
	assert.InDelta(t, 12.2, weighted/sum, 0.25, "the file was made with noon at 12.2 h; a quarter of the interval")
}

func TestFaultyRowsAreNotedWithTheirLine(t *testing.T) {
	t.Parallel()
	lines := strings.Split(strings.TrimSpace(invented(t)), "\n")
	lines[10] = strings.Replace(lines[10], ",-", ",-99", 1) // line 11: colder than any record
	lines = append(lines[:20], lines[21:]...)               // line 21 is missing
	f, err := Read(strings.NewReader(strings.Join(lines, "\n")))
	require.NoError(t, err)
	var notes []string
	for _, n := range f.Notes {
		notes = append(notes, n.String())
	}
	all := strings.Join(notes, "\n")
	assert.Contains(t, all, "line 11: left out: air -99")
	assert.Contains(t, all, "line 21: 1h0m0s missing before this row")
}

func TestFilesThatCannotBeRead(t *testing.T) {
	t.Parallel()
	whole := invented(t)
	rows := map[string]string{
		"empty":           "",
		"unknown layout":  "time;temperature\n1;2\n3;4\n",
		"no rows":         strings.Join(strings.SplitAfter(whole, "\n")[:2], "") + "\n\n",
		"no such column":  strings.Replace(whole, "DNI (W/m^2)", "DNI", 1),
		"a bad date":      strings.Replace(whole, "01/15/1991,01:00", "15.01.1991,01:00", 1),
		"a bad time":      strings.Replace(whole, "01/15/1991,01:00", "01/15/1991,25:00", 1),
		"a bad station":   strings.Replace(whole, "44.200", "north", 1),
		"a line too long": strings.Repeat("x", longestLine+1),
	}
	for name, text := range rows {
		_, err := Read(strings.NewReader(text))
		assert.ErrorIs(t, err, ErrFile, name)
	}
}

func FuzzRead(f *testing.F) {
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "weather", "invented-tmy3.csv"))
	require.NoError(f, err)
	f.Add(string(text[:2000]))
	f.Fuzz(func(t *testing.T, text string) {
		w, err := Read(strings.NewReader(text))
		if err != nil {
			return
		}
		for _, i := range w.Intervals {
			if i.problem() != "" || !i.End.After(i.Start) {
				t.Fatalf("line %d passed: %+v", i.Line, i)
			}
		}
	})
}
