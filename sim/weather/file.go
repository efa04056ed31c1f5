package weather

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
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

// Interval is one row of a weather file: means over the time from Start to End.
type Interval struct {
	Start, End time.Time
	Sample
	Line int
}

// Middle is the moment for which the sun is taken.
func (i Interval) Middle() time.Time { return i.Start.Add(i.End.Sub(i.Start) / 2) }

// File is a read weather file: its intervals in the order of the file, and what
// was found wrong with single rows.
type File struct {
	Format    string
	Station   Station
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

// reading is a file on its way in.
type reading struct {
	lines []string
	file  *File
}

// formats in the order in which they are tried.
func formats() []format {
	return []format{tmy3Format()}
}

// longestLine and mostLines bound what a file may be: ten years of hours.
const (
	longestLine = 1 << 16
	mostLines   = 1 << 20
)

// Read reads a weather file, whose layout is told by its content. The error wraps
// ErrFile and names the line.
func Read(r io.Reader) (*File, error) {
	lines, err := readLines(r)
	if err != nil {
		return nil, err
	}
	head := lines[:min(len(lines), 30)]
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

// add takes one interval whose values are within what weather can be; a row out
// of range is left out and noted.
func (f *File) add(i Interval) {
	if problem := i.Sample.problem(); problem != "" {
		f.note(i.Line, "left out: %s", problem)
		return
	}
	f.Intervals = append(f.Intervals, i)
}

// problem names the first value that weather cannot have. Records stand at -89
// and 57 °C; irradiance at the ground stays below that above the air times the
// edges of bright clouds.
func (s Sample) problem() string {
	switch {
	case !(s.Air >= -90 && s.Air <= 60):
		return fmt.Sprintf("air %v", s.Air)
	case !(s.GHI >= 0 && s.GHI <= 1600):
		return fmt.Sprintf("global irradiance %v", s.GHI)
	case !(s.DNI >= 0 && s.DNI <= 1500):
		return fmt.Sprintf("direct irradiance %v", s.DNI)
	case !(s.DHI >= 0 && s.DHI <= 1000):
		return fmt.Sprintf("diffuse irradiance %v", s.DHI)
	case !(s.Wind >= 0 && s.Wind <= 110):
		return fmt.Sprintf("wind %v m/s", float64(s.Wind))
	}
	return ""
}

// gaps notes hours that are missing within a month. A change of year between
// months is how typical months are joined, and no gap.
func (f *File) gaps() {
	for i := 1; i < len(f.Intervals); i++ {
		a, b := f.Intervals[i-1], f.Intervals[i]
		missing := b.Start.Sub(a.End)
		joined := a.End.Year() != b.Start.Year() && abs(missing) > 27*24*time.Hour
		if missing != 0 && !joined {
			f.note(b.Line, "%v missing before this row", missing)
		}
	}
	slices.SortStableFunc(f.Notes, func(a, b Note) int { return a.Line - b.Line })
}

func abs(d time.Duration) time.Duration { return max(d, -d) }
