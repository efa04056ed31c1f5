package nightly

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
)

// column is one of the CSV.
type column struct {
	name string
	of   func(*Night) string
}

// columns of the CSV, in order; names are the document's, with what they are part of before
// them. New ones are put at the end.
func columns() []column {
	all := append(nightColumns(), chargeColumns()...)
	all = append(all, expectedColumns()...)
	return append(all, twinColumns()...)
}

func nightColumns() []column {
	return []column{
		{"night", func(n *Night) string { return n.Date }},
		{"from", func(n *Night) string { return n.From.Format(time.RFC3339) }},
		{"to", func(n *Night) string { return n.To.Format(time.RFC3339) }},
		{"loop", func(n *Night) string { return n.Loop }},
		{"simulated", func(n *Night) string { return strconv.FormatBool(n.Simulated) }},
		{"running", func(n *Night) string { return strconv.FormatBool(n.Running) }},
		{"recorded_pct", func(n *Night) string { return number(n.RecordedPct) }},
		{"gaps", func(n *Night) string { return gapsText(n.Gaps) }},
		{"minimum_c", func(n *Night) string { return number(n.MinimumC) }},
		{"coldest_c", func(n *Night) string { return optional(n.ColdestC) }},
		{"coldest_at", func(n *Night) string { return stamp(n.ColdestAt) }},
		{"squared_degree_hours", func(n *Night) string { return optional(n.Squared) }},
		{"heat_wh", func(n *Night) string { return optional(n.HeatWh) }},
		{"gathered_wh", func(n *Night) string { return optional(n.GatheredWh) }},
		{"tank_gave_wh", func(n *Night) string { return optional(n.TankGaveWh) }},
		{"heat_unseen_s", func(n *Night) string { return number(n.HeatUnseenS) }},
		{"coil_w_per_k", func(n *Night) string { return number(n.CoilWPerK) }},
		{"battery_wh", func(n *Night) string { return optional(n.BatteryWh) }},
		{"pump_ran_s", func(n *Night) string { return number(n.RanS) }},
	}
}

func chargeColumns() []column {
	return []column{
		{"dusk", func(n *Night) string { return stamp(n.Dusk) }},
		{"dawn", func(n *Night) string { return stamp(n.Dawn) }},
		{"charge_dusk_pct", func(n *Night) string { return optional(n.ChargeDuskPct) }},
		{"charge_dusk_band_pct", func(n *Night) string { return optional(n.ChargeDuskBandPct) }},
		{"charge_dawn_pct", func(n *Night) string { return optional(n.ChargeDawnPct) }},
		{"charge_dawn_band_pct", func(n *Night) string { return optional(n.ChargeDawnBandPct) }},
		{"heat_lasted_to", func(n *Night) string { return stamp(n.HeatLastedTo) }},
		{"charge_at_coldest_pct", func(n *Night) string { return optional(n.ChargeColdestPct) }},
	}
}

func expectedColumns() []column {
	of := func(do func(*Expected) string) func(*Night) string {
		return func(n *Night) string {
			if n.Expected == nil {
				return ""
			}
			return do(n.Expected)
		}
	}
	return []column{
		{"expected_told_at", of(func(e *Expected) string { return e.ToldAt.Format(time.RFC3339) })},
		{"expected_way", of(func(e *Expected) string { return e.Way })},
		{"expected_why_no_plan", of(func(e *Expected) string { return e.Why })},
		{"expected_heat_needed", of(func(e *Expected) string { return strconv.FormatBool(e.HeatNeeded) })},
		{"expected_coldest_c", of(func(e *Expected) string { return optional(e.ColdestC) })},
		{"expected_coldest_low_c", of(func(e *Expected) string { return optional(e.ColdestLowC) })},
		{"expected_coldest_high_c", of(func(e *Expected) string { return optional(e.ColdestHighC) })},
		{"expected_coldest_at", of(func(e *Expected) string { return stamp(e.ColdestAt) })},
		{"expected_heat_lasts_to", of(func(e *Expected) string { return stamp(e.HeatLastsTo) })},
		{"expected_charge_at_coldest_pct", of(func(e *Expected) string { return optional(e.ChargeColdestPct) })},
	}
}

func twinColumns() []column {
	of := func(do func(*Twin) string) func(*Night) string {
		return func(n *Night) string {
			if n.Twin == nil {
				return ""
			}
			return do(n.Twin)
		}
	}
	return []column{
		{"twin_by", of(func(t *Twin) string { return t.By })},
		{"twin_off_k", of(func(t *Twin) string { return number(t.OffK) })},
		{"twin_squared_degree_hours_as_it_ran", of(func(t *Twin) string { return number(t.SquaredAsItRan) })},
		{"twin_coldest_without_heat_c", of(func(t *Twin) string { return number(t.ColdestC) })},
		{"twin_squared_degree_hours_without_heat", of(func(t *Twin) string { return number(t.Squared) })},
		{"twin_squared_degree_hours_avoided", of(func(t *Twin) string { return number(t.Avoided) })},
		{"twin_cannot_say", func(n *Night) string { return n.TwinSilent }},
		{"alerts", func(n *Night) string { return alertsText(n.Alerts) }},
		{"gaps_count", func(n *Night) string { return strconv.Itoa(len(n.Gaps)) }},
		{"gaps_s", func(n *Night) string { return number(lost(n.Gaps)) }},
		{"gaps_longest_s", func(n *Night) string { return number(lost(longestOf(n.Gaps, 1))) }},
	}
}

// CSV writes a line for each night below a header, always in SI units and UTC.
func CSV(w io.Writer, all []Night) error {
	out, names := csv.NewWriter(w), []string{}
	for _, c := range columns() {
		names = append(names, c.name)
	}
	_ = out.Write(names) // Flush reports
	for i := range all {
		var cells []string
		for _, c := range columns() {
			cells = append(cells, c.of(&all[i]))
		}
		_ = out.Write(cells)
	}
	out.Flush()
	return out.Error()
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func optional(v *float64) string {
	if v == nil {
		return ""
	}
	return number(*v)
}

func stamp(t *time.Time) string {
	if t == nil {
		return ""
	}
	return t.Format(time.RFC3339)
}

// gapsText is from/to for each gap, or for the longest of them, as ISO 8601 writes a stretch of
// time. All of them stand in the JSON.
func gapsText(gaps []Gap) string {
	var parts []string
	for _, g := range longestOf(gaps, mostGaps) {
		parts = append(parts, g.From.Format(time.RFC3339)+"/"+g.To.Format(time.RFC3339))
	}
	return strings.Join(parts, "; ")
}

// alertsText is code, place and seconds of each alert.
func alertsText(alerts []Alert) string {
	var parts []string
	for _, a := range alerts {
		parts = append(parts, fmt.Sprintf("%s %.0f", a.name(), a.LastedS))
	}
	return strings.Join(parts, "; ")
}

// name of an alert, with its place where it has one.
func (a *Alert) name() string {
	if a.Place == "" {
		return a.Code
	}
	return a.Code + ":" + a.Place
}
