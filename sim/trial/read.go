package trial

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

// columns that a run's file may have. Time is seconds or RFC 3339; power is told by one of
// the last three, and without any of them it was on all the time.
var columns = []string{"time", "liquid_c", "liquid_f", "air_c", "air_f", "on", "panel_v", "irradiance"}

// ErrFile is a file that is no run; the error that wraps it says where.
var ErrFile = errors.New("no file of a run")

// full is the irradiance at which a power under the sun is stated, W/m².
const full = 1000.0

// Sunlit says by what a run's power was followed.
type Sunlit int

// Constant power, or in proportion to the irradiance, or to the square of the panel's
// voltage: an element wired straight to it is a resistor.
const (
	Constant Sunlit = iota
	ByIrradiance
	ByVoltage
)

// Read a run from CSV with a header of columns. Under the sun a share of 1 is 1000 W/m², or
// the highest voltage seen, which is returned. The error wraps ErrFile.
func Read(in io.Reader) (r Run, by Sunlit, highest float64, err error) {
	lines := csv.NewReader(in)
	lines.TrimLeadingSpace, lines.Comment = true, '#'
	head, err := lines.Read()
	if err != nil {
		return r, by, 0, fmt.Errorf("%w: %w", ErrFile, err)
	}
	of, err := heading(head)
	if err != nil {
		return r, by, 0, err
	}
	by = of.sunlit()
	for {
		fields, err := lines.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return r, by, 0, fmt.Errorf("%w: %w", ErrFile, err)
		}
		line, _ := lines.FieldPos(0)
		x, err := of.reading(fields)
		if err != nil {
			return r, by, 0, fmt.Errorf("%w: line %d: %w", ErrFile, line, err)
		}
		r.Readings = append(r.Readings, x)
		highest = max(highest, x.On)
	}
	r.begin()
	r.shares(by, highest)
	return r, by, highest, nil
}

// places are where a file keeps its columns.
type places map[string]int

func heading(head []string) (places, error) {
	of := make(places)
	for i, name := range head {
		name = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(name, "\ufeff")))
		if _, twice := of[name]; twice || !slices.Contains(columns, name) {
			return nil, fmt.Errorf("%w: column %q is not one of %s, or stands twice", ErrFile, name, strings.Join(columns, ", "))
		}
		of[name] = i
	}
	for _, either := range [][2]string{{"time", "time"}, {"liquid_c", "liquid_f"}, {"air_c", "air_f"}} {
		_, a := of[either[0]]
		_, b := of[either[1]]
		if !a && !b || a && b && either[0] != either[1] {
			return nil, fmt.Errorf("%w: it needs one column %s or %s", ErrFile, either[0], either[1])
		}
	}
	return of, nil
}

func (of places) sunlit() Sunlit {
	if _, ok := of["irradiance"]; ok {
		return ByIrradiance
	}
	if _, ok := of["panel_v"]; ok {
		return ByVoltage
	}
	return Constant
}

// reading of a line; On is as the file has it, 1 without a column.
func (of places) reading(fields []string) (x Reading, err error) {
	if x.At, err = moment(fields[of["time"]]); err != nil {
		return x, err
	}
	if x.Liquid, err = of.degrees("liquid", fields); err != nil {
		return x, err
	}
	if x.Air, err = of.degrees("air", fields); err != nil {
		return x, err
	}
	x.On = 1
	for _, name := range []string{"on", "panel_v", "irradiance"} {
		if i, ok := of[name]; ok {
			if x.On, err = number(fields[i]); err != nil {
				return x, err
			}
			if x.On < 0 {
				return x, fmt.Errorf("%s of %v", name, x.On)
			}
		}
	}
	return x, nil
}

// degrees of a place, °C.
func (of places) degrees(name string, fields []string) (float64, error) {
	if i, ok := of[name+"_c"]; ok {
		return number(fields[i])
	}
	f, err := number(fields[of[name+"_f"]])
	return (f - 32) / 1.8, err
}

// moment in seconds.
func moment(text string) (float64, error) {
	if at, err := time.Parse(time.RFC3339, text); err == nil {
		return float64(at.UnixMilli()) / 1000, nil
	}
	return number(text)
}

func number(text string) (float64, error) {
	x, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, fmt.Errorf("%q is no number", text)
	}
	return x, nil
}

// begin counts the seconds from the first reading.
func (r *Run) begin() {
	if len(r.Readings) == 0 {
		return
	}
	first := r.Readings[0].At
	for i := range r.Readings {
		r.Readings[i].At -= first
	}
}

// shares turns what was recorded of the sun into shares of the power.
func (r *Run) shares(by Sunlit, highest float64) {
	for i := range r.Readings {
		x := &r.Readings[i].On
		switch {
		case by == ByIrradiance:
			*x /= full
		case by == ByVoltage && highest > 0:
			*x = (*x / highest) * (*x / highest)
		}
	}
}
