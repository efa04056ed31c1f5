package weather

import (
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"time"

	"duskloop/sensors/quantity"
)

// tmy3Format is NREL's TMY3: a line about the station, a line of column names,
// 8760 hours in local standard time, stamped at the end of the hour, 24:00 meaning
// midnight; months may come from different years (Wilcox & Marion, Users Manual
// for TMY3 Data Sets, NREL/TP-581-43156, 2008).
func tmy3Format() format {
	return format{
		name: "TMY3",
		is: func(head []string) bool {
			return len(head) > 2 && strings.HasPrefix(head[1], "Date (MM/DD/YYYY),Time (HH:MM),")
		},
		read: readTMY3,
	}
}

func readTMY3(in *reading) error {
	if err := tmy3Station(in); err != nil {
		return err
	}
	names, err := fields(in.lines[1])
	if err != nil {
		return fmt.Errorf("line 2: %w", err)
	}
	columns, err := find(names, "Date (MM/DD/YYYY)", "Time (HH:MM)", "GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)", "Dry-bulb (C)", "Dew-point (C)", "Wspd (m/s)", "OpqCld (tenths)")
	if err != nil {
		return fmt.Errorf("line 2: %w", err)
	}
	for n, line := range in.lines[2:] {
		if strings.TrimSpace(line) == "" {
			continue
		}
		if err := tmy3Row(in.file, n+3, line, columns); err != nil {
			return fmt.Errorf("line %d: %w", n+3, err)
		}
	}
	return nil
}

// tmy3Station reads site code, name, state, offset, latitude, longitude, elevation.
func tmy3Station(in *reading) error {
	row, err := fields(in.lines[0])
	if err != nil || len(row) < 7 {
		return fmt.Errorf("line 1: seven fields about the station are wanted")
	}
	var v [4]float64
	for i := range v {
		if v[i], err = strconv.ParseFloat(strings.TrimSpace(row[3+i]), 64); err != nil || !quantity.Finite(v[i]) {
			return fmt.Errorf("line 1: %q is no number", row[3+i])
		}
	}
	in.file.Station = Station{
		Name: strings.TrimSpace(row[1]), Known: true, Offset: time.Duration(v[0] * float64(time.Hour)),
		Latitude: quantity.Angle(v[1]), Longitude: quantity.Angle(v[2]), Elevation: quantity.Metre(v[3]),
	}
	return nil
}

func tmy3Row(f *File, line int, text string, columns []int) error {
	row, err := fields(text)
	if err != nil {
		return err
	}
	end, err := tmy3Stamp(pick(row, columns[0]), pick(row, columns[1]), f.Station.Offset)
	if err != nil {
		return err
	}
	var v [7]float64
	for i := range v {
		if v[i], err = number(pick(row, columns[2+i])); err != nil {
			f.note(line, "left out: %v", err)
			return nil
		}
	}
	f.add(Interval{Start: end.Add(-time.Hour), End: end, Line: line, Sample: Sample{
		GHI: quantity.WattPerSquareMetre(v[0]), DNI: quantity.WattPerSquareMetre(v[1]), DHI: quantity.WattPerSquareMetre(v[2]),
		Air: quantity.Celsius(v[3]), DewPoint: quantity.Celsius(v[4]), Wind: MetrePerSecond(v[5]), Cloud: quantity.Share(v[6] / 10),
	}})
	return nil
}

// tmy3Stamp is the end of the hour. 24:00 is the midnight that ends the day.
func tmy3Stamp(date, clock string, offset time.Duration) (time.Time, error) {
	zone := time.FixedZone("", int(offset/time.Second))
	day, err := time.ParseInLocation("01/02/2006", date, zone)
	if err != nil {
		return day, fmt.Errorf("date %q is not MM/DD/YYYY", date)
	}
	var h, m int
	if _, err := fmt.Sscanf(clock, "%d:%d", &h, &m); err != nil || h < 0 || h > 24 || m < 0 || m > 59 {
		return day, fmt.Errorf("time %q is not HH:MM", clock)
	}
	return day.Add(time.Duration(h)*time.Hour + time.Duration(m)*time.Minute), nil
}

// fields splits a line of CSV.
func fields(line string) ([]string, error) {
	r := csv.NewReader(strings.NewReader(line))
	r.FieldsPerRecord, r.LazyQuotes = -1, true
	return r.Read()
}

// find gives the columns of names, all of which must be there.
func find(have []string, names ...string) ([]int, error) {
	columns := make([]int, len(names))
	for i, name := range names {
		columns[i] = -1
		for j, h := range have {
			if strings.EqualFold(strings.TrimSpace(h), name) {
				columns[i] = j
			}
		}
		if columns[i] < 0 {
			return nil, fmt.Errorf("no column %q", name)
		}
	}
	return columns, nil
}

// pick is a field, or nothing where the row is short.
func pick(row []string, column int) string {
	if column < 0 || column >= len(row) {
		return ""
	}
	return strings.TrimSpace(row[column])
}

func number(text string) (float64, error) {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !quantity.Finite(v) {
		return 0, fmt.Errorf("%q is no number", text)
	}
	return v, nil
}
