package weather

import (
	"fmt"
	"strings"
	"time"
)

// nsrdbFormat is the CSV of the National Solar Radiation Database: a line of names
// and a line of values about the place, then Year, Month, Day, Hour, Minute and
// values (layout as the database's download pages and the readers of pvlib-python
// give it).
//
// A stamp half a step past the full ones (minute 30 of hours, 15 and 45 of half
// hours) is the middle of its interval. Full stamps are the middle, too, in the
// database's own files of half hours and five minutes: there the clear-sky light is
// symmetric about the sun's noon so, and the stated zenith angle is that of the stamp.
// But in hourly files of before May 2019 minute 0 means the hour that begins there.
// Where the rows have direct and diffuse irradiance, the sun's height in them decides;
// where not, full hours are the start and shorter full steps the middle.
func nsrdbFormat() format {
	return format{
		name: "NSRDB",
		is: func(head []string) bool {
			return len(head) > 3 && strings.Contains(head[0], "Time Zone") && strings.Contains(head[0], "Latitude") &&
				strings.HasPrefix(head[2], "Year,Month,Day,Hour,Minute,")
		},
		read: readNSRDB,
	}
}

func readNSRDB(in *reading) error {
	if err := nsrdbStation(in); err != nil {
		return fmt.Errorf("lines 1 and 2: %w", err)
	}
	names, err := fields(in.lines[2])
	if err != nil {
		return fmt.Errorf("line 3: %w", err)
	}
	at, err := find(names, "Temperature", "GHI")
	if err != nil {
		return fmt.Errorf("line 3: %w", err)
	}
	c := columns{
		air: at[0], ghi: at[1], dni: column(names, "DNI"), dhi: column(names, "DHI"), dew: column(names, "Dew Point"),
		humidity: column(names, "Relative Humidity"), wind: column(names, "Wind Speed"), cloud: -1,
	}
	zone := time.FixedZone("", int(in.file.Station.Offset/time.Second))
	in.each(4, func(line int, cells []string) error {
		stamp, err := nsrdbStamp(cells, zone)
		if err != nil {
			return err
		}
		r, err := c.row(in.file, line, stamp, cells)
		if err == nil {
			in.rows = append(in.rows, r)
		}
		return err
	})
	step, err := in.step()
	if err != nil {
		return err
	}
	in.place(step, in.nsrdbMeaning(step))
	return nil
}

// nsrdbMeaning is what the stamps mean.
func (in *reading) nsrdbMeaning(step time.Duration) stamped {
	full := true
	for _, r := range in.rows {
		past := time.Duration(r.stamp.Minute()) * time.Minute % step
		full = full && past == 0
	}
	if !full {
		return atMiddle
	}
	if offset, ok := sunOffset(in.rows, in.file.Station); ok {
		if offset > step/4 {
			return atStart
		}
		return atMiddle
	}
	if step >= time.Hour {
		return atStart
	}
	return atMiddle
}

func nsrdbStation(in *reading) error {
	names, err := fields(in.lines[0])
	if err != nil {
		return err
	}
	values, err := fields(in.lines[1])
	if err != nil {
		return err
	}
	at, err := find(names, "Latitude", "Longitude", "Elevation", "Time Zone")
	if err != nil {
		return err
	}
	in.file.Station.Name = pick(values, column(names, "Location ID"))
	return in.file.Station.set(pick(values, at[0]), pick(values, at[1]), pick(values, at[2]), pick(values, at[3]))
}

// nsrdbStamp reads the first five cells; a date that the calendar does not have is
// none.
func nsrdbStamp(cells []string, zone *time.Location) (time.Time, error) {
	var v [5]int
	for i := range v {
		f, err := number(pick(cells, i))
		if err != nil || f < 0 || f > 9999 {
			return time.Time{}, fmt.Errorf("%q is no part of a date", pick(cells, i))
		}
		v[i] = int(f)
	}
	t := time.Date(v[0], time.Month(v[1]), v[2], v[3], v[4], 0, 0, zone)
	if t.Month() != time.Month(v[1]) || t.Day() != v[2] || v[3] > 23 || v[4] > 59 {
		return t, fmt.Errorf("no such time: %d-%02d-%02d %02d:%02d", v[0], v[1], v[2], v[3], v[4])
	}
	return t, nil
}
