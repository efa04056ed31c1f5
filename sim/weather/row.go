package weather

import (
	"fmt"
	"math"
	"strings"
	"time"

	"duskloop/sensors/quantity"
)

// row is one line of a table before it is known over which time it holds.
type row struct {
	line  int
	stamp time.Time
	Sample
	given Given
}

// columns say where a table has what; -1 where it does not.
type columns struct {
	air, ghi, dni, dhi, dew, humidity, wind, cloud int
	overcast                                       float64 // what the cloud column says of a covered sky
}

// row reads a line's cells. The error says why the whole row is of no use; what is
// wrong with a value that can be missed is noted.
func (c columns) row(f *File, line int, stamp time.Time, cells []string) (row, error) {
	r := row{line: line, stamp: stamp}
	air, err := number(pick(cells, c.air))
	if err != nil {
		return r, err
	}
	ghi, err := number(pick(cells, c.ghi))
	if err != nil {
		return r, err
	}
	r.Air, r.GHI = quantity.Celsius(air), quantity.WattPerSquareMetre(atNight(ghi))
	if problem := r.problem(); problem != "" {
		return r, fmt.Errorf("%s", problem)
	}
	c.rest(f, &r, cells)
	return r, nil
}

// darkest is how far below zero a pyranometer may read at night, W/m²: its dome is
// colder than its body. Usual figures are a few watts (from memory, unverified).
const darkest = -15

// atNight takes a pyranometer's small negative reading for the darkness it is.
func atNight(ghi float64) float64 {
	if ghi >= darkest && ghi < 0 {
		return 0
	}
	return ghi
}

// rest reads what a row may lack. A value outside its range is left out and noted; a
// direct or diffuse irradiance of darkest to 0 is 0, a humidity of 100 to 110 % is 100 %,
// and a dew point above the air is the air's temperature, without a note: instruments
// err by so much. A dew point outranks a humidity.
func (c columns) rest(f *File, r *row, cells []string) {
	get := func(column int, name string, low, high float64) (float64, bool) {
		text := pick(cells, column)
		if text == "" {
			return 0, false
		}
		v, err := number(text)
		if err == nil && !(v >= low && v <= high) {
			err = fmt.Errorf("%s %s is outside %g to %g", name, text, low, high)
		}
		if err != nil {
			f.note(r.line, "a value left out: %v", err)
			return 0, false
		}
		return v, true
	}
	dni, ok := get(c.dni, "direct irradiance", darkest, brightestBeam)
	r.DNI, r.given.DNI = quantity.WattPerSquareMetre(math.Max(dni, 0)), ok
	dhi, ok := get(c.dhi, "diffuse irradiance", darkest, brightestDiffuse)
	r.DHI, r.given.DHI = quantity.WattPerSquareMetre(math.Max(dhi, 0)), ok
	wind, ok := get(c.wind, "wind", 0, strongest)
	r.Wind, r.given.Wind = MetrePerSecond(wind), ok
	cloud, ok := get(c.cloud, "cloud", 0, c.overcast)
	r.Cloud, r.given.Cloud = quantity.Share(cloud/math.Max(c.overcast, 1)), ok
	dew, ok := get(c.dew, "dew point", -100, 60)
	if share, wet := get(c.humidity, "humidity", 0, 110); wet && !ok {
		dew, ok = dewPoint(float64(r.Air), share/100)
	}
	if ok {
		r.DewPoint, r.given.DewPoint = min(r.Air, quantity.Celsius(dew)), true
	}
}

// What weather cannot exceed. Temperatures stand on record at -89 and 57 °C, gusts
// at 113 m/s; irradiance at the ground stays below that above the air times the
// edges of bright clouds. Bounds of ours, to find broken rows.
const (
	brightest        = 1600
	brightestBeam    = 1500
	brightestDiffuse = 1000
	strongest        = 115
)

// problem names the first value that weather cannot have.
func (s Sample) problem() string {
	switch {
	case !(s.Air >= -90 && s.Air <= 60):
		return fmt.Sprintf("air %v", s.Air)
	case !(s.GHI >= 0 && s.GHI <= brightest):
		return fmt.Sprintf("global irradiance %v", s.GHI)
	case !(s.DNI >= 0 && s.DNI <= brightestBeam):
		return fmt.Sprintf("direct irradiance %v", s.DNI)
	case !(s.DHI >= 0 && s.DHI <= brightestDiffuse):
		return fmt.Sprintf("diffuse irradiance %v", s.DHI)
	case !(s.Wind >= 0 && s.Wind <= strongest):
		return fmt.Sprintf("wind %v m/s", float64(s.Wind))
	}
	return ""
}

// dewPoint in °C of air in °C at a relative humidity as a share, by Magnus' formula
// with the coefficients of Alduchov & Eskridge, J. Appl. Meteorol. 35, 1996 (17.625
// and 243.04 °C; from memory, unverified), good from -40 to 50 °C. Outside, and for
// air drier than 0.5 %, there is none.
func dewPoint(air, humidity float64) (float64, bool) {
	if !(air >= -40 && air <= 50 && humidity >= 0.005) {
		return 0, false
	}
	const b, c = 17.625, 243.04
	g := math.Log(math.Min(humidity, 1)) + b*air/(c+air)
	return c * g / (b - g), true
}

// stamped is what a row's time means.
type stamped int

const (
	atStart stamped = iota
	atMiddle
	atEnd
)

// place turns the rows into intervals of a length, in the station's fixed offset, and
// finds a typical year out where the layout does not say so.
func (in *reading) place(step time.Duration, meaning stamped) {
	zone := time.FixedZone("", int(in.file.Station.Offset/time.Second))
	back := [...]time.Duration{atStart: 0, atMiddle: step / 2, atEnd: step}[meaning]
	in.file.Step = step
	all := make([]Interval, len(in.rows))
	for k, r := range in.rows {
		start := r.stamp.Add(-back).In(zone)
		all[k] = Interval{Start: start, End: start.Add(step), Sample: r.Sample, Given: r.given, Line: r.line}
	}
	in.file.Typical = in.file.Typical || putTogether(all)
	for _, i := range all {
		in.file.add(i)
	}
}

// step is the most frequent time between neighbouring rows, which must be a
// minute to three hours: longer ones do not say where in the day the sun shone.
func (in *reading) step() (time.Duration, error) {
	count, best := make(map[time.Duration]int), time.Duration(0)
	for i := 1; i < len(in.rows); i++ {
		d := in.rows[i].stamp.Sub(in.rows[i-1].stamp)
		if count[d]++; d > 0 && (count[d] > count[best] || best == 0) {
			best = d
		}
	}
	if best < time.Minute || best > 3*time.Hour {
		return 0, fmt.Errorf("rows are %v apart; a minute to three hours is wanted", best)
	}
	return best, nil
}

// each hands the cells of every line that is not empty to take, from line number
// first on (counted from 1) until take says stop. An error of take leaves the row
// out and is noted.
func (in *reading) each(first int, take func(line int, cells []string) error) {
	for n := first; n <= len(in.lines); n++ {
		text := in.lines[n-1]
		if strings.TrimSpace(text) == "" {
			continue
		}
		cells, err := fields(text)
		if err == nil {
			err = take(n, cells)
		}
		if err != nil {
			in.file.note(n, "left out: %v", err)
		}
	}
}
