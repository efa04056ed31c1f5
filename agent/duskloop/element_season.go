package main

import (
	"fmt"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/match"
	"duskloop/sim/sun"
	"duskloop/sim/weather"
)

// seasonFlags are the weather of a season and the panel in it.
type seasonFlags struct {
	placeFlags
	Weather string `help:"Weather file: energy over a season in place of one point. TMY3, PVGIS, NSRDB or plain CSV, told by its content." placeholder:"FILE"`
	Tilt    string `help:"Of the panel, degrees from the horizontal." default:"60"`
	Facing  string `help:"Where it looks, degrees from north, clockwise." default:"180"`
	Months  string `help:"From month to month, as 10-03. Without it all that the file has." placeholder:"MONTHS"`
}

// season prints what each element takes over the months of a weather file.
func (c *elementCommand) season(s *session, a array, heaters []heater, cable quantity.Ohm) error {
	plane, err := c.plane()
	if err != nil {
		return err
	}
	months, err := c.months()
	if err != nil {
		return err
	}
	f, site, doubts, err := c.sound(s)
	if err != nil {
		return err
	}
	cover, err := coverage(f, months)
	if err != nil {
		return fmt.Errorf("--weather %s: %w", c.Weather, err)
	}
	if cover.short() {
		fmt.Fprintf(s.err, "%s: %s\n", c.Weather, cover)
	}
	x := overSeason(f, site, plane, months.hold, a.module)
	x.cover, x.step, x.cold = cover, f.Step, min(match.Frosty, coldestAir(f))
	if err := x.possible(a); err != nil {
		doubts = append(doubts, err.Error())
	}
	x.doubts = doubts
	distrust(s.err, doubts)
	rows := make([]match.Row, len(heaters))
	for k, h := range heaters {
		rows[k] = x.On(h.ohm, cable)
	}
	if c.JSON {
		for k, h := range heaters {
			if over := h.over(rows[k].MaxW); over != "" {
				fmt.Fprintln(s.err, over)
			}
		}
		return printJSON(s.out, rows)
	}
	report := seasonReport{season: x, array: a, heaters: heaters, rows: rows, cable: cable}
	return report.print(s.out)
}

// sound reads the weather file, and says what it lacks and why it should not be trusted.
func (c *elementCommand) sound(s *session) (*weather.File, sun.Site, []string, error) {
	f, err := readWeather(c.Weather)
	if err != nil {
		return nil, sun.Site{}, nil, err
	}
	site, known, err := c.site(f)
	if err != nil {
		return nil, site, nil, err
	}
	if !known {
		return nil, site, nil, misuse("--weather %s: the file does not say where it is: give --latitude and --longitude", c.Weather)
	}
	printNotes(s.err, c.Weather, f.Notes)
	printDoubts(s.err, c.Weather, f, site)
	return f, site, unbelievable(f, site), nil
}

// plane reads the panel's plane.
func (f seasonFlags) plane() (sun.Plane, error) {
	p := sun.Plane{Albedo: sun.Ground}
	if err := degrees("--tilt", f.Tilt, &p.Tilt); err != nil {
		return p, err
	}
	if err := degrees("--facing", f.Facing, &p.Facing); err != nil {
		return p, err
	}
	return p, misused(p.Validate())
}

// months are those asked for; none means all that there are.
type months []time.Month

// months reads the first and the last month, over the turn of the year too.
func (f seasonFlags) months() (months, error) {
	if f.Months == "" {
		return nil, nil
	}
	var from, to int
	var rest string
	n, _ := fmt.Sscanf(f.Months, "%d-%d%s", &from, &to, &rest)
	if n != 2 || from < 1 || from > 12 || to < 1 || to > 12 {
		return nil, misuse("--months: write two months, as 10-03, not %q", f.Months)
	}
	all := months{time.Month(from)}
	for m := from; m != to; {
		m = m%12 + 1
		all = append(all, time.Month(m))
	}
	return all, nil
}

// hold says whether a month is asked for.
func (ms months) hold(m time.Month) bool {
	for _, x := range ms {
		if x == m {
			return true
		}
	}
	return ms == nil
}
