package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"duskloop/agent"
	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
)

type simulateCommand struct {
	greenhouseFile
	placeFlags
	Weather string   `help:"Weather file in place of invented weather: TMY3, PVGIS, NSRDB or plain CSV, or daily minima and maxima (date, min_c, max_c), told by its content." placeholder:"FILE"`
	Days    float64  `help:"How many days, a season being about 210." default:"7"`
	From    string   `help:"First day, as 2026-01-15; it begins at dusk. Without it that day, or the first of a weather file that is no typical year." placeholder:"DAY"`
	Seed    uint64   `help:"Seed of weather and probe errors." default:"1"`
	Beside  []string `help:"Another way to run the same days: always-on or off. May be repeated." enum:"always-on,off"`
	Fault   []string `help:"A failure: ${faults}; NAME or NAME@HOURS, probe-lost:PLACE. May be repeated." placeholder:"FAULT"`
	JSON    bool     `help:"Print JSON." name:"json" xor:"form"`
	CSV     bool     `help:"Print CSV." name:"csv" xor:"form"`
	SVG     string   `help:"Draw the run by the rules into this file too." name:"svg" placeholder:"FILE"`
}

// Run simulates by the rules, and beside them what was asked for.
func (c *simulateCommand) Run(s *session) error {
	trial, err := c.trial(s)
	if err != nil {
		return err
	}
	if err := warnOf(s.err, trial.File); err != nil {
		return err
	}
	picture, err := c.draw(trial)
	if err != nil {
		return err
	}
	defer picture.drop()
	policies := []agent.Policy{agent.ByRules}
	for _, b := range c.Beside {
		policies = append(policies, agent.Policy(b))
	}
	var rows []agent.Summary
	for _, p := range policies {
		t := trial
		t.Policy = p
		picture.watch(&t)
		finish := progress(s.err, &t)
		row, err := agent.Simulate(s, t)
		finish()
		if err != nil {
			return err
		}
		rows = append(rows, row)
	}
	if err := picture.finish(); err != nil {
		return err
	}
	return c.print(s.out, rows, trial.File.Site.Units)
}

func (c *simulateCommand) trial(s *session) (agent.Trial, error) {
	t := agent.Trial{Days: c.Days, Seed: c.Seed}
	if !(c.Days > 0 && c.Days <= 3660) {
		return t, misuse("--days is more than 0 and at most 3660, not %g", c.Days)
	}
	day, err := c.firstDay()
	if err != nil {
		return t, err
	}
	for _, text := range c.Fault {
		var f agent.Fault
		if err := f.Set(text); err != nil {
			return t, misused(err)
		}
		t.Faults = append(t.Faults, f)
	}
	if t.File, err = c.orDemo(); err != nil {
		return t, err
	}
	if c.Weather != "" {
		return c.under(s, t, day)
	}
	t.Start = agent.Dusk(t.File, day)
	return t, nil
}

// firstDay is the day asked for, or that of the demo.
func (c *simulateCommand) firstDay() (time.Time, error) {
	if c.From == "" {
		return time.Date(2026, 1, 15, 0, 0, 0, 0, time.UTC), nil
	}
	day, err := time.Parse(time.DateOnly, c.From)
	if err != nil {
		return day, misuse("--from: write the day as 2026-01-15: %w", err)
	}
	return day, nil
}

// progress draws a bar on a terminal; elsewhere nothing.
func progress(w io.Writer, t *agent.Trial) func() {
	f, ok := w.(interface{ Fd() uintptr })
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return func() {}
	}
	bar := progressbar.NewOptions(1000, progressbar.OptionSetWriter(w), progressbar.OptionSetDescription(string(t.Policy)),
		progressbar.OptionClearOnFinish(), progressbar.OptionThrottle(100*time.Millisecond))
	last := 0
	t.Progress = func(share float64) {
		if now := int(share * 1000); now != last {
			last = now
			_ = bar.Set(now)
		}
	}
	return func() { _ = bar.Finish() }
}

func (c *simulateCommand) print(w io.Writer, rows []agent.Summary, u quantity.Units) error {
	switch {
	case c.JSON:
		e := json.NewEncoder(w)
		e.SetIndent("", "  ")
		return e.Encode(rows)
	case c.CSV:
		return printCSV(w, rows)
	}
	return printTable(w, rows, u)
}

// figures are the rows of the table, in order; names stand in the CSV too, which is
// always in SI units.
func figures(s agent.Summary, u quantity.Units) [][2]string {
	f := func(v float64, digits int) string { return strconv.FormatFloat(v, 'f', digits, 64) }
	degrees := func(what string, c float64) [2]string {
		if u == quantity.US {
			return [2]string{what + ", °F", f(quantity.Celsius(c).Fahrenheit(), 1)}
		}
		return [2]string{what + ", °C", f(c, 1)}
	}
	var alerts []string
	for _, code := range slices.Sorted(maps.Keys(s.Alerts)) {
		alerts = append(alerts, fmt.Sprintf("%s %d", code, s.Alerts[code]))
	}
	return [][2]string{
		{"run by", string(s.Policy)},
		{"simulated days", f(s.Days, 1)},
		{"heat into the tank, kWh", f(s.HeatIntoTankKWh, 2)},
		{"heat to the tunnel, kWh", f(s.HeatToTunnelKWh, 2)},
		{"hours below the crop's minimum", f(s.HoursBelow, 1)},
		squared(s.SquaredKh, u),
		degrees("lowest tunnel air", s.LowestTunnelC),
		degrees("highest tunnel air", s.HighestTunnelC),
		degrees("lowest outdoors", s.LowestOutdoorsC),
		degrees("lowest tank", s.LowestTankC),
		degrees("highest tank", s.HighestTankC),
		water(s.WaterGoneKg, u),
		{"battery used by pump and fans, kWh", f(s.BatteryUsedKWh, 3)},
		{"lowest charge, %", f(s.LowestChargePct, 1)},
		{"hours with the battery empty", f(s.HoursBrownOut, 1)},
		{"pump hours", f(s.PumpHours, 1)},
		{"pump starts", strconv.Itoa(s.PumpStarts)},
		{"alerts raised", strings.Join(alerts, ", ")},
	}
}

// squared degree-hours below the crop's minimum: a few very cold hours weigh more in them
// than many cool ones.
func squared(kh float64, u quantity.Units) [2]string {
	if u == quantity.US {
		return [2]string{"squared degree-hours below it, °F²h", strconv.FormatFloat(kh*1.8*1.8, 'f', 0, 64)}
	}
	return [2]string{"squared degree-hours below it, K²h", strconv.FormatFloat(kh, 'f', 0, 64)}
}

// waterGone begins the name of the row about water that left the tank.
const waterGone = "water evaporated"

// water that left the tank, as the volume to top up.
func water(kg float64, u quantity.Units) [2]string {
	litres := kg / fluid.WaterDensity
	name, v := "L", litres
	if u == quantity.US {
		name, v = "gal", litres/3.785411784
	}
	return [2]string{fmt.Sprintf("%s, %s (top it up: an uncovered element burns)", waterGone, name), strconv.FormatFloat(v, 'f', 2, 64)}
}

func printTable(w io.Writer, rows []agent.Summary, u quantity.Units) error {
	tw := tabwriter.NewWriter(w, 0, 0, 3, ' ', 0)
	dry := !slices.ContainsFunc(rows, func(s agent.Summary) bool { return s.WaterGoneKg > 0 })
	for i, line := range figures(rows[0], u) {
		if dry && strings.HasPrefix(line[0], waterGone) {
			continue
		}
		cells := []string{line[0]}
		for _, r := range rows {
			cells = append(cells, figures(r, u)[i][1])
		}
		fmt.Fprintln(tw, strings.Join(cells, "\t"))
	}
	fmt.Fprintln(tw, "(simulated)")
	return tw.Flush()
}

func printCSV(w io.Writer, rows []agent.Summary) error {
	out := csv.NewWriter(w)
	for i, r := range rows {
		var head, cells []string
		for _, x := range figures(r, quantity.SI) {
			head, cells = append(head, x[0]), append(cells, x[1])
		}
		if i == 0 {
			_ = out.Write(append(head, "simulated")) // Flush reports
		}
		_ = out.Write(append(cells, "true"))
	}
	out.Flush()
	return out.Error()
}
