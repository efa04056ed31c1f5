package weather

import (
	"fmt"
	"strings"
	"time"
)

// plainFormat is a layout of our own for whoever has weather from elsewhere: a line
// of column names beginning with time, then rows. Needed are time, air_c and
// ghi_w_m2; known besides are dew_point_c, rh_pct, dni_w_m2, dhi_w_m2, wind_m_s and
// cloud_pct. An empty cell is a value that is not known.
//
// Times are RFC 3339, with their offset from UTC or without. Lines that begin with #
// may say, in any order, one or several a line with commas between:
//
//	# zone: -05:00, stamp: end
//	# latitude: 44.2, longitude: -78.6, elevation: 190
//
// Every value is the mean over its interval. If nothing is said, times without an offset are UTC and stamps are the start of
// their interval, whose length is the usual time between rows. Summer time is not
// known here: a file has one offset.
func plainFormat() format {
	return format{
		name: "plain",
		is: func(head []string) bool {
			n := plainTable(head)
			return n > 0 && strings.Contains(strings.ToLower(head[n-1]), "air_c") && strings.Contains(strings.ToLower(head[n-1]), "ghi_w_m2")
		},
		read: readPlain,
	}
}

// plainTable is the line number of the column names: the first line that is neither
// empty nor a comment, if it begins with time.
func plainTable(lines []string) int {
	for i, line := range lines {
		switch text := strings.TrimSpace(line); {
		case text == "" || text[0] == '#':
		case column(strings.Split(text, ",")[:1], "time") == 0:
			return i + 1
		default:
			return 0
		}
	}
	return 0
}

func readPlain(in *reading) error {
	table := plainTable(in.lines)
	told, err := plainComments(in, table)
	if err != nil {
		return err
	}
	names, err := fields(in.lines[table-1])
	if err != nil {
		return fmt.Errorf("line %d: %w", table, err)
	}
	at, err := find(names, "time", "air_c", "ghi_w_m2")
	if err != nil {
		return fmt.Errorf("line %d: %w", table, err)
	}
	in.plainRows(table, at[0], told, columns{
		air: at[1], ghi: at[2], dew: column(names, "dew_point_c"), humidity: column(names, "rh_pct"),
		dni: column(names, "dni_w_m2"), dhi: column(names, "dhi_w_m2"), wind: column(names, "wind_m_s"),
		cloud: column(names, "cloud_pct"), overcast: 100,
	})
	step, err := in.step()
	if err != nil {
		return err
	}
	in.place(step, told.meaning)
	return nil
}

// plainRows reads the table below its names; when is the column of the times.
func (in *reading) plainRows(table, when int, told said, c columns) {
	in.each(table+1, func(line int, cells []string) error {
		if strings.HasPrefix(pick(cells, 0), "#") {
			return nil
		}
		stamp, zoned, err := plainStamp(pick(cells, when), in.file.Station.Offset)
		if err != nil {
			return err
		}
		if len(in.rows) == 0 {
			in.firstStamp(line, stamp, zoned, told)
		}
		r, err := c.row(in.file, line, stamp, cells)
		if err == nil {
			in.rows = append(in.rows, r)
		}
		return err
	})
}

// firstStamp settles the file's clock by its first row.
func (in *reading) firstStamp(line int, stamp time.Time, zoned bool, told said) {
	switch {
	case zoned && !told.zoned:
		_, seconds := stamp.Zone()
		in.file.Station.Offset = time.Duration(seconds) * time.Second
	case !zoned && !told.zoned:
		in.file.note(line, "times say no offset from UTC and no comment gives a zone: taken as UTC")
	}
}

// plainStamp reads a time; zoned says that it has its own offset.
func plainStamp(text string, offset time.Duration) (t time.Time, zoned bool, err error) {
	text = strings.Replace(text, " ", "T", 1)
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04Z07:00"} {
		if t, err = time.Parse(layout, text); err == nil {
			return t, true, nil
		}
	}
	zone := time.FixedZone("", int(offset/time.Second))
	for _, layout := range []string{"2006-01-02T15:04:05", "2006-01-02T15:04"} {
		if t, err = time.ParseInLocation(layout, text, zone); err == nil {
			return t, false, nil
		}
	}
	return t, false, fmt.Errorf("time %q is not as 2018-03-01T06:00:00-05:00", text)
}
