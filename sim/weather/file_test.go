package weather

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

func tmy3(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "weather", "invented-tmy3.csv"))
	require.NoError(t, err)
	return string(text)
}

func TestTypicalYear(t *testing.T) {
	t.Parallel()
	f, err := Read(strings.NewReader(tmy3(t)))
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

func TestFaultyRowsAreNotedWithTheirLine(t *testing.T) {
	t.Parallel()
	lines := strings.Split(strings.TrimSpace(tmy3(t)), "\n")
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
	assert.Contains(t, all, "line 21: 1 h missing before this row")
}

func TestFilesThatCannotBeRead(t *testing.T) {
	t.Parallel()
	whole := tmy3(t)
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

// Whatever is read is possible weather in order of time.
func FuzzRead(f *testing.F) {
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "weather", "invented-*.csv"))
	require.NoError(f, err)
	require.Greater(f, len(files), 6)
	for _, name := range files {
		text, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(string(text[:min(len(text), 2500)]))
	}
	f.Fuzz(func(t *testing.T, text string) {
		w, err := Read(strings.NewReader(text))
		if err != nil {
			return
		}
		for k, i := range w.Intervals {
			if i.problem() != "" || i.End.Sub(i.Start) != w.Step || !(i.Cloud >= 0 && i.Cloud <= 1) {
				t.Fatalf("line %d passed: %+v", i.Line, i)
			}
			if k > 0 && !i.Start.After(w.Intervals[k-1].Start) && !(w.Typical && joined(w.Intervals[k-1], i)) {
				t.Fatalf("line %d is out of order", i.Line)
			}
		}
		playable(t, w)
	})
}

// lamp is a sun that is always up.
type lamp struct{}

func (lamp) ClearSky(time.Time) (quantity.Angle, quantity.WattPerSquareMetre) { return 30, 600 }

func (lamp) Split(_ time.Time, _ quantity.Angle, ghi quantity.WattPerSquareMetre) (dni, dhi quantity.WattPerSquareMetre) {
	return ghi / 2, ghi / 2
}

// playable asks a series, if the file makes one, for possible weather within it.
func playable(t *testing.T, w *File) {
	s, err := NewSeries(w, lamp{})
	if err != nil {
		return
	}
	for _, i := range w.Intervals[:min(len(w.Intervals), 50)] {
		x := s.At(i.Start.Add(w.Step / 3))
		if x.problem() != "" || !(x.Cloud >= 0 && x.Cloud <= 1) || !(x.DewPoint >= -250 && x.DewPoint <= 61) {
			t.Fatalf("line %d is played as %+v", i.Line, x)
		}
	}
	if s.Covers(w.Intervals[0].Start, w.Intervals[0].End) != nil && !w.Typical {
		t.Fatal("a series does not know its first interval")
	}
}
