package main

import (
	"fmt"
	"io"
	"os"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// placeFlags say where a weather file is from that does not say so itself.
type placeFlags struct {
	Latitude  *string `help:"Of the weather, degrees, north positive, if the file does not say." placeholder:"DEG"`
	Longitude *string `help:"Of the weather, degrees, east positive, if the file does not say." placeholder:"DEG"`
	Elevation *string `help:"Of the weather above the sea, as '273 m', if the file does not say." placeholder:"LENGTH"`
}

// readWeather reads a weather file of any layout.
func readWeather(path string) (*weather.File, error) {
	in, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("--weather: %w", err)
	}
	defer in.Close()
	f, err := weather.Read(in)
	if err != nil {
		return nil, fmt.Errorf("--weather %s: %w", path, err)
	}
	return f, nil
}

// site is where the weather is from: as the flags say, else as the file does. ok is
// false where neither does.
func (p placeFlags) site(f *weather.File) (s sun.Site, ok bool, err error) {
	s = sun.Site{Latitude: f.Station.Latitude, Longitude: f.Station.Longitude, Elevation: f.Station.Elevation}
	ok = f.Station.Known
	if (p.Latitude == nil) != (p.Longitude == nil) {
		return s, ok, misuse("--latitude and --longitude go together")
	}
	if p.Latitude != nil {
		ok = true
		if err := degrees("--latitude", *p.Latitude, &s.Latitude); err != nil {
			return s, ok, err
		}
		if err := degrees("--longitude", *p.Longitude, &s.Longitude); err != nil {
			return s, ok, err
		}
	}
	if p.Elevation != nil {
		if err := s.Elevation.Set(*p.Elevation); err != nil {
			return s, ok, named("--elevation", err)
		}
	}
	if p.Latitude != nil || p.Elevation != nil {
		return s, ok, misused(s.Validate())
	}
	return s, ok, s.Validate()
}

// mostNotes is how many notes about a weather file are printed.
const mostNotes = 20

// printNotes prints what was found about a file's rows.
func printNotes(w io.Writer, path string, notes []weather.Note) {
	for k, n := range notes {
		if k == mostNotes {
			fmt.Fprintf(w, "%s: and %d notes more\n", path, len(notes)-k)
			return
		}
		fmt.Fprintf(w, "%s: %s\n", path, n)
	}
}

// printDoubts says what the file as a whole lacks, and warns where its sun does not
// stand where its stamps say.
func printDoubts(w io.Writer, path string, f *weather.File, site sun.Site) {
	var split, calm int
	for _, i := range f.Intervals {
		if !i.Given.DNI || !i.Given.DHI {
			split++
		}
		if !i.Given.Wind {
			calm++
		}
	}
	if split > 0 {
		fmt.Fprintf(w, "%s: %d of %d rows lack direct or diffuse irradiance: split off the global by Erbs\n", path, split, len(f.Intervals))
	}
	if calm > 0 {
		fmt.Fprintf(w, "%s: %d of %d rows lack the wind: 1 m/s taken\n", path, calm, len(f.Intervals))
	}
	if lag, days := f.Lag(site); days >= 2 && lag.Abs() > max(f.Step/4, 5*time.Minute) {
		fmt.Fprintf(w, "%s: on %d clear days the sun is %s off the file's clock: is the zone, the stamp or the place wrong?\n", path, days, quantity.Span(lag.Round(time.Minute)))
	}
}
