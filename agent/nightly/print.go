package nightly

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"
	"time"

	"duskloop/sensors/quantity"
)

// unknown stands where nothing is known.
const unknown = "-"

// Printer prints nights in a grower's units and time zone.
type Printer struct {
	Units quantity.Units
	Zone  *time.Location
}

// Print writes a line for each night. What is missing and the alerts are said below them: such
// words are too long for a column.
func (p Printer) Print(w io.Writer, all []Night) error {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tw, strings.Join(p.head(), "\t"))
	for i := range all {
		fmt.Fprintln(tw, strings.Join(p.line(&all[i]), "\t"))
	}
	return tw.Flush()
}

// head names the columns.
func (p Printer) head() []string {
	t, cold := "°C", "K²h"
	if p.Units == quantity.US {
		t, cold = "°F", "°F²h"
	}
	return []string{
		"night of", "coldest, " + t, "expected", "tank warm to", "expected", "battery, %", "at coldest", "expected",
		"tank gave, Wh", "by the coil", "pump+fans, Wh", "cold, " + cold, "twin as it ran", "without heat", "avoided",
	}
}

// line is a night's.
func (p Printer) line(n *Night) []string {
	e := n.Expected
	if e == nil {
		e = &Expected{}
	}
	return append([]string{
		n.night(p.Zone), p.at(n.ColdestC, n.ColdestAt), p.expected(n.Expected), p.lasted(n), p.lasts(n.Expected),
		charges(n), whole(n.ChargeColdestPct), whole(e.ChargeColdestPct), whole(n.TankGaveWh), heat(n), whole(n.BatteryWh), p.squared(n.Squared),
	}, p.twin(n.Twin)...)
}

// night is its name: the day on which it begins, by a zone's clock.
func (n *Night) night(zone *time.Location) string { return n.From.In(zone).Format("Mon 2 Jan") }

func (p Printer) clock(t *time.Time) string {
	if t == nil {
		return unknown
	}
	return t.In(p.Zone).Format("15:04")
}

// degrees is a temperature without its unit.
func (p Printer) degrees(c *float64) string {
	if c == nil {
		return unknown
	}
	v := *c
	if p.Units == quantity.US {
		v = quantity.Celsius(v).Fahrenheit()
	}
	return fmt.Sprintf("%.1f", rounded(v, 1)+0) // no -0
}

func (p Printer) at(c *float64, t *time.Time) string {
	switch {
	case c == nil:
		return unknown
	case t == nil:
		return p.degrees(c)
	}
	return p.degrees(c) + " at " + p.clock(t)
}

// expected is the coldest that a plan expected, with its band.
func (p Printer) expected(e *Expected) string {
	switch {
	case e == nil:
		return "no plan told"
	case e.Why != "":
		return "no plan: " + e.Why
	case e.ColdestLowC == nil || e.ColdestHighC == nil:
		return p.at(e.ColdestC, e.ColdestAt)
	}
	return fmt.Sprintf("%s (%s to %s)", p.at(e.ColdestC, e.ColdestAt), p.degrees(e.ColdestLowC), p.degrees(e.ColdestHighC))
}

// lasted is until when the tank could warm the tunnel.
func (p Printer) lasted(n *Night) string {
	switch {
	case n.Expected == nil:
		return unknown
	case n.HeatLastedTo == nil:
		return "morning"
	}
	return p.clock(n.HeatLastedTo)
}

// lasts is the same as it was expected.
func (p Printer) lasts(e *Expected) string {
	switch {
	case e == nil || !e.planned() || !e.HeatNeeded:
		return unknown
	case e.HeatLastsTo == nil:
		return "morning"
	}
	return p.clock(e.HeatLastsTo)
}

// charges are dusk's and dawn's, with how far they may be off.
func charges(n *Night) string {
	one := func(v, band *float64) string {
		if v == nil || band == nil {
			return unknown
		}
		return fmt.Sprintf("%.0f±%.0f", *v, *band)
	}
	return one(n.ChargeDuskPct, n.ChargeDuskBandPct) + " to " + one(n.ChargeDawnPct, n.ChargeDawnBandPct)
}

// heat is what went into the tunnel, and what was gathered from it.
func heat(n *Night) string {
	if gathers(n) {
		return fmt.Sprintf("%s, %s gathered", whole(n.HeatWh), whole(n.GatheredWh))
	}
	return whole(n.HeatWh)
}

// gathers says that there is any to be told.
func gathers(n *Night) bool { return n.GatheredWh != nil && *n.GatheredWh >= 0.5 }

func whole(v *float64) string {
	if v == nil {
		return unknown
	}
	return fmt.Sprintf("%.0f", *v)
}

// scale is of squared degree-hours.
func (p Printer) scale() float64 {
	if p.Units == quantity.US {
		return 1.8 * 1.8
	}
	return 1
}

func (p Printer) squared(v *float64) string {
	if v == nil {
		return unknown
	}
	return fmt.Sprintf("%.0f", math.Round(p.scale()**v)+0) // no -0
}

// twin is what it says of the night without heat, and how far it is off itself.
func (p Printer) twin(t *Twin) []string {
	if t == nil {
		return []string{unknown, unknown, unknown}
	}
	return []string{p.squared(&t.SquaredAsItRan) + ", off " + quantity.Kelvin(t.OffK).In(p.Units), p.squared(&t.Squared), p.squared(&t.Avoided)}
}
