package weather

import (
	"fmt"
	"strings"
	"time"

	"duskloop/sensors/quantity"
)

// tmy3Format is NREL's TMY3: a line about the station, a line of column names,
// 8760 hours in local standard time, stamped at the end of the hour, 24:00 meaning
// midnight; months may come from different years (Wilcox & Marion, Users Manual
// for TMY3 Data Sets, NREL/TP-581-43156, 2008). Irradiance is what was received in the
// 60 minutes before the stamp; air, dew point, wind and cloud are those at the time
// indicated (the manual's table of fields, as the documentation of pvlib-python's reader
// gives it).
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
	at, err := find(names, "Date (MM/DD/YYYY)", "Time (HH:MM)", "GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)", "Dry-bulb (C)", "Dew-point (C)", "Wspd (m/s)", "OpqCld (tenths)")
	if err != nil {
		return fmt.Errorf("line 2: %w", err)
	}
	c := columns{ghi: at[2], dni: at[3], dhi: at[4], air: at[5], dew: at[6], wind: at[7], cloud: at[8], overcast: 10, humidity: -1}
	var broken error // a stamp that cannot be read: then nothing else can be trusted
	in.each(3, func(line int, cells []string) error {
		end, err := tmy3Stamp(pick(cells, at[0]), pick(cells, at[1]), in.file.Station.Offset)
		if err != nil {
			if broken == nil {
				broken = fmt.Errorf("line %d: %w", line, err)
			}
			return nil
		}
		r, err := c.row(in.file, line, end, cells)
		if err == nil {
			in.rows = append(in.rows, r)
		}
		return err
	})
	in.file.Typical, in.file.AirAfter = true, time.Hour/2
	in.place(time.Hour, atEnd)
	return broken
}

// tmy3Station reads site code, name, state, offset, latitude, longitude, elevation.
func tmy3Station(in *reading) error {
	row, err := fields(in.lines[0])
	if err != nil || len(row) < 7 {
		return fmt.Errorf("line 1: seven fields about the station are wanted")
	}
	s := Station{Name: strings.TrimSpace(row[1])}
	if err := s.set(pick(row, 4), pick(row, 5), pick(row, 6), pick(row, 3)); err != nil {
		return fmt.Errorf("line 1: %w", err)
	}
	in.file.Station = s
	return nil
}

// set takes the place in degrees and metres and the clock's hours from UTC.
func (s *Station) set(latitude, longitude, elevation, hours string) error {
	var v [4]float64
	for i, text := range []string{latitude, longitude, elevation, hours} {
		var err error
		if v[i], err = number(text); err != nil {
			return err
		}
	}
	s.Latitude, s.Longitude, s.Elevation = quantity.Angle(v[0]), quantity.Angle(v[1]), quantity.Metre(v[2])
	s.Offset, s.Known = time.Duration(v[3]*float64(time.Hour)), true
	return s.validate(v[3])
}

// validate refuses a place that is not on Earth and a clock that is nowhere's.
func (s *Station) validate(hours float64) error {
	switch {
	case !(s.Latitude >= -90 && s.Latitude <= 90) || !(s.Longitude >= -180 && s.Longitude <= 180):
		return fmt.Errorf("no place on Earth is at %v, %v", s.Latitude, s.Longitude)
	case !(s.Elevation >= -500 && s.Elevation <= 6000):
		return fmt.Errorf("elevation %v is outside -500 to 6000 m", s.Elevation)
	case !(hours >= -12 && hours <= 14):
		return fmt.Errorf("no clock is %g h from UTC", hours)
	}
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
