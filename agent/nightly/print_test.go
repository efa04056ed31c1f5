package nightly

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

// toldNight is the night by hand with an expectation and a twin: at rest 130.25 K²h by it.
func toldNight() Night {
	at, lasts := hour(14.5), hour(15.5)
	s := NewSum(byHand())
	s.Told([]record.Event{told(5.5, wire.Tonight{Way: "plan", HeatNeeded: true, ColdestC: c(1.5), ColdestLowC: c(-1), ColdestHighC: c(4), ColdestAt: &at, HeatLastsTo: &lasts, ChargeThen: c(74)})})
	s.Alerts(nil, []record.Event{said(12+1.0/6, "tunnel-cold"), said(16 + 2.0/3)})
	for h := range 24 {
		x := row(h)
		s.Add(&x)
	}
	s.Close()
	n := s.Night()
	n.Relived(Twin{By: "record", OffK: 0.444, SquaredAsItRan: 40.251, ColdestC: -6.6, Squared: 130.25})
	return n
}

func printed(t *testing.T, u quantity.Units, all ...Night) (lines []string) {
	t.Helper()
	var b bytes.Buffer
	p := Printer{Units: u, Zone: zone}
	require.NoError(t, p.Print(&b, all))
	return append(strings.Split(b.String(), "\n"), p.Below(all)...)
}

// cells of a printed line.
func cells(line string) (all []string) {
	for _, c := range strings.Split(line, "  ") {
		if c = strings.TrimSpace(c); c != "" {
			all = append(all, c)
		}
	}
	return all
}

// The same night in both units: 1 °C is 33.8 °F, 30.25 K²h are 30.25·1.8² = 98 °F²h, 0.44 K
// are 0.8 °F. Avoided 130.25 - 40.25 = 90 K²h, 292 °F²h: the twin at rest less the twin as it
// ran, not less what came, of which it knows nothing.
func TestANightPrinted(t *testing.T) {
	t.Parallel()
	lines := printed(t, quantity.SI, toldNight())
	assert.Equal(t, []string{
		"Thu 15 Jan", "1.0 at 02:00", "1.5 at 02:30 (-1.0 to 4.0)", "03:00", "03:30", "85±5 to 71±5", "76", "74",
		"-", "1360", "24", "30", "40, off 0.4 K", "130", "90",
	}, cells(lines[1]))
	assert.Len(t, cells(lines[0]), 15, "a name for each")
	assert.Contains(t, lines, "Thu 15 Jan: tunnel-cold 4 h 30 min.")
	below := strings.Join(lines, " ")
	assert.Contains(t, below, "In one night, 30 K²h came below the crop's minimum. The twin has 40 as it ran and 130 without heat: 90 avoided. Its own error stands in both and is not counted as heat's; night by night it is off what came by 10.")
	us := cells(printed(t, quantity.US, toldNight())[1])
	assert.Equal(t, "33.8 at 02:00", us[1])
	assert.Equal(t, "34.7 at 02:30 (30.2 to 39.2)", us[2])
	assert.Equal(t, []string{"98", "130, off 0.8 °F", "422", "292"}, us[11:15])
	assert.NotContains(t, below, "simulated")
}

// What was gathered stands beside the heat.
func TestGatheredIsPrinted(t *testing.T) {
	t.Parallel()
	n := toldNight()
	n.GatheredWh, n.TankGaveWh = c(80), c(1500)
	got := cells(printed(t, quantity.SI, n)[1])
	assert.Equal(t, []string{"1500", "1360, 80 gathered"}, got[8:10])
}

// What is not known is a dash, and what is missing is said; the sum leaves the night out.
func TestAPoorNightPrinted(t *testing.T) {
	t.Parallel()
	r := byHand()
	r.Now = hour(14)
	s := NewSum(r)
	for _, h := range []int{10, 11, 12} {
		x := row(h)
		x.Simulated = true
		s.Add(&x)
	}
	s.Close()
	n := s.Night()
	n.TwinSilent = "too little of the night is recorded"
	lines := printed(t, quantity.SI, n)
	got := cells(lines[1])
	assert.Equal(t, []string{"4.0 at 00:00", "no plan told", "-", "-", "- to -", "78", "-", "-", "0", "0", "2", "-", "-", "-"}, got[1:15])
	assert.Contains(t, lines, "Thu 15 Jan: still running; only 29 % recorded; nothing from 12:00 to 22:00; no twin: too little of the night is recorded.")
	text := strings.Join(lines, "\n")
	assert.Contains(t, text, "Of one night the twin cannot say what heat avoided.")
	assert.Contains(t, strings.Join(printed(t, quantity.SI, n, toldNight()), "\n"), "Not in that sum: one night of which the twin cannot say")
	assert.NotContains(t, text, "came below")
	assert.Contains(t, text, "(simulated)")
}

// A night of 23 hours says so.
func TestAChangedClockIsSaid(t *testing.T) {
	t.Parallel()
	r := byHand()
	r.To = hour(23)
	assert.Contains(t, strings.Join(printed(t, quantity.SI, summed(r).Night()), "\n"), "23 hours: the clock was changed")
}

// The columns of the CSV and the members of the JSON are held: others read them.
func TestTheFormsOthersRead(t *testing.T) {
	t.Parallel()
	var b bytes.Buffer
	n := toldNight()
	n.TankGaveWh = c(1234)
	require.NoError(t, CSV(&b, []Night{n, {Date: "2026-01-16", From: hour(24), To: hour(48)}}))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 3)
	assert.Equal(t, "night,from,to,loop,simulated,running,recorded_pct,gaps,minimum_c,coldest_c,coldest_at,squared_degree_hours,"+
		"heat_wh,gathered_wh,tank_gave_wh,heat_unseen_s,coil_w_per_k,battery_wh,pump_ran_s,dusk,dawn,charge_dusk_pct,charge_dusk_band_pct,charge_dawn_pct,"+
		"charge_dawn_band_pct,heat_lasted_to,charge_at_coldest_pct,expected_told_at,expected_way,expected_why_no_plan,expected_heat_needed,"+
		"expected_coldest_c,expected_coldest_low_c,expected_coldest_high_c,expected_coldest_at,expected_heat_lasts_to,expected_charge_at_coldest_pct,"+
		"twin_by,twin_off_k,twin_squared_degree_hours_as_it_ran,twin_coldest_without_heat_c,twin_squared_degree_hours_without_heat,"+
		"twin_squared_degree_hours_avoided,twin_cannot_say,alerts,gaps_count,gaps_s,gaps_longest_s", strings.Join(rows[0], ","))
	of := func(row []string) map[string]string {
		m := make(map[string]string)
		for i, name := range rows[0] {
			m[name] = row[i]
		}
		return m
	}
	first, empty := of(rows[1]), of(rows[2])
	for name, want := range map[string]string{
		"night": "2026-01-15", "from": "2026-01-15T17:00:00Z", "coldest_c": "1", "coldest_at": "2026-01-16T07:00:00Z", "squared_degree_hours": "30.25",
		"heat_wh": "1360", "battery_wh": "24", "heat_lasted_to": "2026-01-16T08:00:00Z", "expected_way": "plan", "expected_coldest_low_c": "-1",
		"twin_by": "record", "twin_off_k": "0.44", "twin_squared_degree_hours_avoided": "90", "alerts": "tunnel-cold 16200", "running": "false",
	} {
		assert.Equal(t, want, first[name], name)
	}
	for _, name := range []string{"coldest_c", "squared_degree_hours", "heat_wh", "expected_way", "twin_off_k", "dusk"} {
		assert.Empty(t, empty[name], "%s is not known, and not zero", name)
	}
	var members map[string]any
	text, err := json.Marshal(n)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &members))
	var names []string
	for _, name := range rows[0] {
		if !strings.HasPrefix(name, "expected_") && !strings.HasPrefix(name, "twin_") && !strings.HasPrefix(name, "gaps_") {
			names = append(names, name)
		}
	}
	for _, name := range append(names, "expected", "twin") {
		assert.Contains(t, members, name)
	}
	assert.Len(t, members, len(names)+2, "the CSV has them all")
	assert.NotContains(t, string(must(t, Night{})), "coldest_c", "what is not known is absent")
}

func must(t *testing.T, n Night) []byte {
	t.Helper()
	text, err := json.Marshal(n)
	require.NoError(t, err)
	return text
}

// Below a picture a night is told in sentences.
func TestANightSaid(t *testing.T) {
	t.Parallel()
	p := Printer{Units: quantity.SI, Zone: zone}
	n := toldNight()
	assert.Equal(t, "Thu 15 Jan", p.Name(&n))
	assert.Equal(t, []string{
		"Coldest 1.0 °C at 02:00, expected 1.5 at 02:30 (-1.0 to 4.0).",
		"Cold 30 K²h; twin 40 as it ran, 130 without heat: 90 avoided.",
		"Heat by the coil 1360 Wh.",
		"Pump and fans 24 Wh; battery 85±5 to 71±5 %.",
		"Alerts: tunnel-cold 4 h 30 min.",
	}, p.Says(&n))
	n.TankGaveWh, n.GatheredWh = c(1500), c(80)
	assert.Equal(t, "Heat by the coil 1360 Wh, 80 Wh gathered; tank gave 1500 Wh by dawn.", p.Says(&n)[2])
	bare := Night{From: hour(0), To: hour(24), Gaps: []Gap{{hour(0), hour(24)}}}
	assert.Equal(t, []string{"Nothing is known of the tunnel; no plan told.", "Nothing recorded."}, p.Says(&bare))
}

// Lengths of time as they are said.
func TestLasting(t *testing.T) {
	t.Parallel()
	for s, want := range map[time.Duration]string{20 * time.Second: "under a minute", 59*time.Minute + 20*time.Second: "59 min", 61 * time.Minute: "1 h 01 min"} {
		assert.Equal(t, want, lasting(s.Seconds()))
	}
}
