package main

import (
	"encoding/json"
	"fmt"
	"os"
	"text/tabwriter"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/pv"
	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// seasonFlags are the weather of a season and the panel in it.
type seasonFlags struct {
	Weather string `help:"Weather file: energy over a season in place of one point." placeholder:"FILE"`
	Tilt    string `help:"Of the panel, degrees from the horizontal." default:"60"`
	Facing  string `help:"Where it looks, degrees from north, clockwise." default:"180"`
	Months  string `help:"From month to month, as 10-03." default:"01-12"`
}

// seasonRow is what one element takes in a season.
type seasonRow struct {
	Resistance float64 `json:"resistance_ohm"`
	Energy     float64 `json:"energy_kwh"`
	MatchPct   float64 `json:"match_pct"`
	MaxW       float64 `json:"max_w"`
	MaxV       float64 `json:"max_v"`
}

// season prints what each element takes over the months of a weather file.
func (c *elementCommand) season(s *session, m pv.Module, ohms []quantity.Ohm, cable quantity.Ohm) error {
	f, err := c.file()
	if err != nil {
		return err
	}
	plane, wanted, err := c.plane()
	if err != nil {
		return err
	}
	for _, n := range f.Notes {
		fmt.Fprintf(s.err, "%s: %s\n", c.Weather, n)
	}
	rows, best := overSeason(f, plane, wanted, m, ohms, cable)
	if c.JSON {
		e := json.NewEncoder(s.out)
		e.SetIndent("", "  ")
		return e.Encode(rows)
	}
	return printSeason(s, rows, best, m)
}

// file reads the weather file, which must say where it is.
func (f seasonFlags) file() (*weather.File, error) {
	in, err := os.Open(f.Weather)
	if err != nil {
		return nil, fmt.Errorf("--weather: %w", err)
	}
	defer in.Close()
	w, err := weather.Read(in)
	if err != nil {
		return nil, fmt.Errorf("--weather %s: %w", f.Weather, err)
	}
	if !w.Station.Known {
		return nil, fmt.Errorf("--weather %s: the file does not say where it is", f.Weather)
	}
	return w, nil
}

// plane reads the panel's plane and the months.
func (f seasonFlags) plane() (sun.Plane, func(time.Month) bool, error) {
	p := sun.Plane{Albedo: 0.2}
	if err := degrees("--tilt", f.Tilt, &p.Tilt); err != nil {
		return p, nil, err
	}
	if err := degrees("--facing", f.Facing, &p.Facing); err != nil {
		return p, nil, err
	}
	if err := p.Validate(); err != nil {
		return p, nil, err
	}
	var from, to int
	if n, err := fmt.Sscanf(f.Months, "%d-%d", &from, &to); n != 2 || err != nil || from < 1 || from > 12 || to < 1 || to > 12 {
		return p, nil, fmt.Errorf("--months: write two months, as 10-03, not %q", f.Months)
	}
	return p, func(m time.Month) bool {
		if from <= to {
			return int(m) >= from && int(m) <= to
		}
		return int(m) >= from || int(m) <= to
	}, nil
}

// overSeason sums over the file's intervals: the sun at the middle of each, the
// file's own irradiance, no losses but the cable. best is the energy at maximum
// power in kWh.
func overSeason(f *weather.File, plane sun.Plane, wanted func(time.Month) bool, m pv.Module, ohms []quantity.Ohm, cable quantity.Ohm) ([]seasonRow, float64) {
	site := sun.Site{Latitude: f.Station.Latitude, Longitude: f.Station.Longitude, Elevation: f.Station.Elevation}
	rows := make([]seasonRow, len(ohms))
	best := 0.0
	for _, i := range f.Intervals {
		mid := i.Middle()
		if !wanted(mid.Month()) {
			continue
		}
		g := site.OnPlane(plane, mid, sun.Light{GHI: i.GHI, DNI: i.DNI, DHI: i.DHI})
		curve := m.At(g, pv.CellTemperature(i.Air, g, float64(i.Wind)))
		hours := i.End.Sub(i.Start).Hours()
		best += float64(curve.MaxPower().Power()) * hours / 1000
		for k, r := range ohms {
			amps := float64(curve.OnResistor(r + cable).Amps)
			watts := amps * amps * float64(r)
			rows[k].Energy += watts * hours / 1000
			if watts > rows[k].MaxW {
				rows[k].MaxW, rows[k].MaxV = watts, amps*float64(r)
			}
		}
	}
	for k, r := range ohms {
		rows[k].Resistance = float64(r)
		if best > 0 {
			rows[k].MatchPct = 100 * rows[k].Energy / best
		}
	}
	return rows, best
}

// printSeason prints the table and what it means.
func printSeason(s *session, rows []seasonRow, best float64, m pv.Module) error {
	tw := tabwriter.NewWriter(s.out, 0, 0, 3, ' ', tabwriter.AlignRight)
	fmt.Fprintln(tw, "element, ohm\tenergy, kWh\tof the panel's best\tmost, W\tat, V\t")
	top := rows[0]
	for _, r := range rows {
		fmt.Fprintf(tw, "%.2f\t%.2f\t%.1f %%\t%.1f\t%.1f\t\n", r.Resistance, r.Energy, r.MatchPct, r.MaxW, r.MaxV)
		if r.Energy > top.Energy {
			top = r
		}
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	at := m.At(1000, 25).MaxPower()
	fmt.Fprintf(s.out, "\nThe panel at its best point all the time would give %.2f kWh.\n", best)
	fmt.Fprintf(s.out, "Of these, %.2f ohm takes most. It must stand %.0f W at %.1f V, whatever is printed on it.\n", top.Resistance, top.MaxW, top.MaxV)
	fmt.Fprintf(s.out, "Below about %.1f ohm (the panel's Vmp/Imp) the panel is a current source: the heat follows the square of the sun and comes almost only from bright hours; a tenth less light is a fifth less heat.\n",
		float64(at.Volts)/float64(at.Amps))
	return nil
}
