package main

import (
	"encoding/json"
	"fmt"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/pv"
	"duskloop/sim/sun"
)

// seasonFlags are the weather of a season and the panel in it.
type seasonFlags struct {
	placeFlags
	Weather string `help:"Weather file: energy over a season in place of one point. TMY3, PVGIS, NSRDB or plain CSV, told by its content." placeholder:"FILE"`
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
	f, err := readWeather(c.Weather)
	if err != nil {
		return err
	}
	site, known, err := c.site(f)
	if err != nil {
		return err
	}
	if !known {
		return fmt.Errorf("--weather %s: the file does not say where it is: give --latitude and --longitude", c.Weather)
	}
	plane, wanted, err := c.plane()
	if err != nil {
		return err
	}
	printNotes(s.err, c.Weather, f.Notes)
	printDoubts(s.err, c.Weather, f, site)
	x := overSeason(f, site, plane, wanted, m)
	rows := make([]seasonRow, len(ohms))
	for k, r := range ohms {
		rows[k] = x.row(r, cable)
	}
	if c.JSON {
		e := json.NewEncoder(s.out)
		e.SetIndent("", "  ")
		return e.Encode(rows)
	}
	return c.printSeason(s, x, rows, cable)
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
