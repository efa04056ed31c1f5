package weather

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"duskloop/sensors/quantity"
)

// ErrFile is wrapped by every refusal of a weather file.
var ErrFile = errors.New("weather file refused")

// Station is where a weather file was made, as far as it says.
type Station struct {
	Name                string
	Latitude, Longitude quantity.Angle
	Elevation           quantity.Metre
	Known               bool          // the file says where it is
	Offset              time.Duration // of its clock from UTC
}

// Interval is one row of a weather file: irradiance as the mean over the time from Start
// to End, the rest as the row has it. Where that is true not at the interval's middle but
// some time after, File.AirAfter says so: Series plays it then, while Interval.Complete
// and whoever reads the fields find the light beside the air of the same row.
type Interval struct {
	Start, End time.Time
	Sample
	Given Given
	Line  int
}

// Given says what a row gave besides air and global irradiance, which it always
// has. What it did not give, or gave out of range, is zero in the sample. The dew point
// is never above the air, no light below zero: see rest.
type Given struct{ DewPoint, DNI, DHI, Wind, Cloud bool }

// Middle is the moment for which the sun is taken.
func (i Interval) Middle() time.Time { return i.Start.Add(i.End.Sub(i.Start) / 2) }

// File is a read weather file: its intervals in the order of the file, and what
// was found wrong with single rows.
type File struct {
	Format  string
	Station Station
	Step    time.Duration // length of each interval
	Typical bool          // months from different years, standing for any year: by the layout, or told by putTogether
	// AirAfter is how long after an interval's middle its air, dew point, wind and cloud
	// are true: half an hour in TMY3, which gives them for the stamp.
	AirAfter  time.Duration
	Intervals []Interval
	Notes     []Note
}

// Note is something about a line that a reader of the figures should know: a gap,
// a value out of range that was left out, a leap day.
type Note struct {
	Line int
	Text string
}

// String is the note with its line.
func (n Note) String() string { return fmt.Sprintf("line %d: %s", n.Line, n.Text) }

// format is one layout of weather files.
type format struct {
	name string
	is   func(head []string) bool
	read func(*reading) error
}

// reading is a file on its way in. A reader fills the station and the rows.
type reading struct {
	lines []string
	file  *File
	rows  []row
}

// formats in the order in which they are tried.
func formats() []format {
	return []format{tmy3Format(), nsrdbFormat(), pvgisTypicalFormat(), pvgisHourlyFormat(), plainFormat()}
}

// longestLine and mostLines bound what a file may be: ten years of five minutes.
const (
	longestLine = 1 << 16
	mostLines   = 1_100_000
)

// Read reads a weather file, whose layout is told by its content. The error wraps
// ErrFile and names the line.
func Read(r io.Reader) (*File, error) {
	lines, err := readLines(r)
	if err != nil {
		return nil, err
	}
	head := lines[:min(len(lines), 60)]
	for _, f := range formats() {
		if !f.is(head) {
			continue
		}
		in := &reading{lines: lines, file: &File{Format: f.name}}
		if err := f.read(in); err != nil {
			return nil, fmt.Errorf("%w: %s: %w", ErrFile, f.name, err)
		}
		if len(in.file.Intervals) == 0 {
			return nil, fmt.Errorf("%w: %s: no row could be used", ErrFile, f.name)
		}
		in.file.gaps()
		return in.file, nil
	}
	return nil, fmt.Errorf("%w: no known layout; the first line is %q", ErrFile, clip(head))
}

func clip(head []string) string {
	if len(head) == 0 {
		return ""
	}
	return head[0][:min(len(head[0]), 60)]
}

func readLines(r io.Reader) ([]string, error) {
	s := bufio.NewScanner(r)
	s.Buffer(make([]byte, 0, 4096), longestLine)
	var lines []string
	for s.Scan() {
		line := bytes.TrimPrefix(s.Bytes(), []byte("\ufeff"))
		lines = append(lines, strings.TrimRight(string(line), "\r"))
		if len(lines) > mostLines {
			return nil, fmt.Errorf("%w: more than %d lines", ErrFile, mostLines)
		}
	}
	if err := s.Err(); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrFile, err)
	}
	if len(lines) == 0 {
		return nil, fmt.Errorf("%w: empty", ErrFile)
	}
	return lines, nil
}

// note adds a note.
func (f *File) note(line int, format string, args ...any) {
	f.Notes = append(f.Notes, Note{line, fmt.Sprintf(format, args...)})
}

// add takes one interval that follows those before it; what does not is left out
// and noted.
func (f *File) add(i Interval) {
	if n := len(f.Intervals); n > 0 {
		last := f.Intervals[n-1]
		switch {
		case f.Typical && joined(last, i):
		case i.Start.Equal(last.Start):
			f.note(i.Line, "left out: the same time as line %d", last.Line)
			return
		case i.Start.Before(last.Start):
			f.note(i.Line, "left out: earlier than line %d", last.Line)
			return
		}
	}
	f.Intervals = append(f.Intervals, i)
}
