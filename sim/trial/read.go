package trial

import (
	"bytes"
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

// columns that a run's file may have. Time is seconds or RFC 3339; power is told by the last
// three, and without any of them it was on all the time. What on says holds beside the sun.
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
// the highest voltage seen while the heater was on: highest is that, or 0; between two readings
// the sun is the mean of theirs. A last line that was cut off, as by a power cut, is left out.
// The error wraps ErrFile.
func Read(in io.Reader) (r Run, by Sunlit, highest float64, err error) {
	text, err := io.ReadAll(in)
	if err != nil {
		return r, by, 0, fmt.Errorf("%w: %w", ErrFile, err)
	}
	lines := csv.NewReader(bytes.NewReader(text))
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
	var suns []float64
	for {
		fields, err := lines.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		x, sun, err := of.reading(fields, err)
		if err != nil && cutOff(text, lines, err) {
			break
		}
		if err != nil {
			return r, by, 0, fmt.Errorf("%w: line %d: %w", ErrFile, 1+bytes.Count(text[:lines.InputOffset()-1], []byte("\n")), err)
		}
		r.Readings, suns = append(r.Readings, x), append(suns, sun)
	}
	r.begin()
	return r, by, r.shares(by, suns), nil
}

// cutOff says that the line just read is the last, has no end and lacks a field.
func cutOff(text []byte, lines *csv.Reader, err error) bool {
	return int(lines.InputOffset()) == len(text) && !bytes.HasSuffix(text, []byte("\n")) &&
		(errors.Is(err, csv.ErrFieldCount) || bytes.HasSuffix(text, []byte(",")))
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

// reading of a line: On as the file has it, 1 without a column, and the sun as it was
// recorded, W/m² or V, 0 where it was not. torn is what was wrong with the line itself.
func (of places) reading(fields []string, torn error) (x Reading, sun float64, err error) {
	if torn != nil {
		return x, 0, torn
	}
	if x.At, err = moment(fields[of["time"]]); err != nil {
		return x, 0, err
	}
	if x.Liquid, err = of.degrees("liquid", fields); err != nil {
		return x, 0, err
	}
	if x.Air, err = of.degrees("air", fields); err != nil {
		return x, 0, err
	}
	if x.On, err = of.amount("on", fields, 1); err != nil {
		return x, 0, err
	}
	name := map[Sunlit]string{ByIrradiance: "irradiance", ByVoltage: "panel_v"}[of.sunlit()]
	sun, err = of.amount(name, fields, 0)
	return x, sun, err
}

// amount in a column, not below zero; without the column it is as given.
func (of places) amount(name string, fields []string, without float64) (float64, error) {
	i, ok := of[name]
	if !ok {
		return without, nil
	}
	x, err := number(fields[i])
	if err == nil && x < 0 {
		err = fmt.Errorf("%s of %v", name, x)
	}
	return x, err
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
