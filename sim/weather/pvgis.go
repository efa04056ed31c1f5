package weather

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// Both PVGIS layouts begin with lines such as "Latitude (decimal degrees): 44.2",
// count in UTC and write 20180301:0010 for ten past midnight (layouts as the Joint
// Research Centre's pages on its hourly and typical-year tools give them, and as
// the readers of pvlib-python take them).

const pvgisLatitude = "Latitude (decimal degrees)"

// pvgisTable is the line number of the table's column names, 0 where none begins so.
func pvgisTable(head []string, first string) int {
	if len(head) == 0 || !strings.HasPrefix(head[0], pvgisLatitude) {
		return 0
	}
	for i, line := range head {
		if strings.HasPrefix(line, first) {
			return i + 1
		}
	}
	return 0
}

// pvgisHeader are the "name: value" lines above the table.
func pvgisHeader(in *reading, table int) (map[string]string, error) {
	header := make(map[string]string)
	for _, line := range in.lines[:table-1] {
		if name, value, ok := strings.Cut(line, ":"); ok {
			header[strings.TrimSpace(name)] = strings.TrimSpace(value)
		}
	}
	err := in.file.Station.set(header[pvgisLatitude], header["Longitude (decimal degrees)"], header["Elevation (m)"], "0")
	if err != nil {
		return nil, fmt.Errorf("lines 1 to %d: %w", table-1, err)
	}
	return header, nil
}

// pvgisRows hands on the rows of the table up to the empty line that ends it: a
// legend follows.
func pvgisRows(in *reading, table int, take func(line int, stamp time.Time, cells []string) error) {
	end := table
	for end < len(in.lines) && strings.TrimSpace(in.lines[end]) != "" {
		end++
	}
	in.lines = in.lines[:end]
	in.each(table+1, func(line int, cells []string) error {
		stamp, err := time.Parse("20060102:1504", pick(cells, 0))
		if err != nil {
			return fmt.Errorf("time %q is not YYYYMMDD:HHMM", pick(cells, 0))
		}
		return take(line, stamp, cells)
	})
}

// pvgisTypicalFormat is the typical year: twelve lines "month,year", then hours.
// The irradiance is that of the stamp plus the "Irradiance Time Offset (h)" of the
// header, as an instant; we take it for the hour around that moment. Air, humidity and
// wind are those of the stamp itself (from memory, unverified).
func pvgisTypicalFormat() format {
	const first = "time(UTC),"
	return format{
		name: "PVGIS typical year",
		is:   func(head []string) bool { return pvgisTable(head, first) > 0 },
		read: func(in *reading) error { return readPVGISTypical(in, pvgisTable(in.lines, first)) },
	}
}

func readPVGISTypical(in *reading, table int) error {
	header, err := pvgisHeader(in, table)
	if err != nil {
		return err
	}
	offset := 0.0
	if text, ok := header["Irradiance Time Offset (h)"]; ok {
		if offset, err = number(text); err != nil || math.Abs(offset) > 1 {
			return fmt.Errorf("the irradiance's time offset %q is no number of hours from -1 to 1", text)
		}
	}
	names, err := fields(in.lines[table-1])
	if err != nil {
		return fmt.Errorf("line %d: %w", table, err)
	}
	at, err := find(names, "T2m", "G(h)")
	if err != nil {
		return fmt.Errorf("line %d: %w", table, err)
	}
	c := columns{
		air: at[0], ghi: at[1], dni: column(names, "Gb(n)"), dhi: column(names, "Gd(h)"),
		humidity: column(names, "RH"), wind: column(names, "WS10m"), dew: -1, cloud: -1,
	}
	shift := time.Duration(offset * float64(time.Hour)).Round(time.Second)
	pvgisRows(in, table, func(line int, stamp time.Time, cells []string) error {
		r, err := c.row(in.file, line, stamp.Add(shift), cells)
		if err == nil {
			in.rows = append(in.rows, r)
		}
		return err
	})
	pvgisMonths(in, table, shift)
	in.file.Typical, in.file.AirAfter = true, -shift
	in.place(time.Hour, atMiddle)
	return nil
}

// pvgisMonths notes rows that are not of the year that the header gives for their
// month.
func pvgisMonths(in *reading, table int, shift time.Duration) {
	var years [13]int
	for _, line := range in.lines[:table-1] {
		var month, year int
		if n, _ := fmt.Sscanf(line, "%d,%d", &month, &year); n == 2 && month >= 1 && month <= 12 {
			years[month] = year
		}
	}
	last := 0
	for _, r := range in.rows {
		stamp := r.stamp.Add(-shift)
		if want := years[stamp.Month()]; want != 0 && want != stamp.Year() && last != int(stamp.Month()) {
			in.file.note(r.line, "%v of %d, but the header says %d", stamp.Month(), stamp.Year(), want)
			last = int(stamp.Month())
		}
	}
}
