package main

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/agent/nightly"
	"duskloop/agent/record"
	"duskloop/control"
)

// nightsRecord is a state folder with nine days of a record from a noon on, a reading every
// ten minutes: 2 °C of tunnel air from two to four at night and 10 °C else, at rest. It ends at
// nine in the morning.
func nightsRecord(t *testing.T, simulated bool, zone *time.Location) string {
	t.Helper()
	state := t.TempDir()
	r, err := record.Open(filepath.Join(agent.Folder(state, simulated), agent.RecordName), record.DefaultOptions())
	require.NoError(t, err)
	noon := time.Date(2026, 1, 10, 12, 0, 0, 0, zone)
	for at := noon; at.Before(noon.AddDate(0, 0, 9).Add(-3 * time.Hour)); at = at.Add(10 * time.Minute) {
		x := record.Reading{At: at, Loop: "bench", Simulated: simulated, Charge: record.Known(0.8, 0), Band: 0.05}
		air := 10.0
		if h := at.Hour(); h >= 2 && h < 4 {
			air = 2
		}
		for p, v := range map[control.Place]float64{control.Tank: 30, control.Tunnel: air, control.Greenhouse: 1, control.Bed: 9} {
			x.Places[p] = record.Known(v, 0)
		}
		r.Append(&x)
	}
	require.NoError(t, r.Close())
	return state
}

// nightsJSON runs the command for its JSON.
func nightsJSON(t *testing.T, state string, more ...string) (all []nightly.Night) {
	t.Helper()
	out, _, err := apart(t, append([]string{"--state", state, "nights", "--json"}, more...)...)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal([]byte(out), &all), out)
	return all
}

// demoZone is the demo's.
func demoZone() *time.Location { return agent.SunZone(config.Demo()) }

// The last seven nights; the newest still runs. Two hours 4.1 K below the demo's 6.1 °C
// (43 °F) are 33.6 K²h.
func TestNightsTellsTheLast(t *testing.T) {
	t.Parallel()
	state := nightsRecord(t, true, demoZone())
	all := nightsJSON(t, state, "--simulated")
	require.Len(t, all, 7)
	assert.Equal(t, "2026-01-12", all[0].Date)
	assert.Equal(t, "2026-01-18", all[6].Date)
	assert.True(t, all[6].Running)
	assert.False(t, all[5].Running)
	minimum := float64(config.Demo().Loop().Crop.Minimum)
	for _, n := range all {
		assert.InDelta(t, 2, *n.ColdestC, 1e-9)
		assert.InDelta(t, 2*(minimum-2)*(minimum-2), *n.Squared, 0.01)
		assert.NotNil(t, n.Twin, n.TwinSilent)
		assert.True(t, n.Simulated)
	}
	out, _, err := apart(t, "--state", state, "nights", "--simulated", "--last", "2")
	require.NoError(t, err)
	lines := strings.Split(out, "\n")
	assert.True(t, strings.HasPrefix(lines[1], "Sat 17 Jan"), out)
	assert.True(t, strings.HasPrefix(lines[2], "Sun 18 Jan"), out)
	assert.Contains(t, out, "Sun 18 Jan: still running")
	assert.Contains(t, out, "°F²h")
	assert.Contains(t, out, "(simulated)")
	out, _, err = apart(t, "--state", state, "nights", "--simulated", "--csv", "--last", "30")
	require.NoError(t, err)
	assert.Len(t, strings.Split(strings.TrimSpace(out), "\n"), 10, "a header and the nine that there are")
}

// Where nothing ran, heat avoided nothing, however far off the twin is: 33.6 K²h came in each
// of these nights and the twin has other figures. Every form says so.
func TestNightsAtRestAvoidNothing(t *testing.T) {
	t.Parallel()
	state := nightsRecord(t, true, demoZone())
	for _, n := range nightsJSON(t, state, "--simulated") {
		assert.Zero(t, *n.BatteryWh, n.Date)
		assert.Greater(t, math.Abs(n.Twin.SquaredAsItRan-*n.Squared), 1.0, "%s: a twin that is off", n.Date)
		assert.InDelta(t, n.Twin.SquaredAsItRan, n.Twin.Squared, 0, n.Date)
		assert.Zero(t, n.Twin.Avoided, n.Date)
	}
	svg := filepath.Join(t.TempDir(), "week.svg")
	_, out, err := run(t, "--state", state, "nights", "--simulated", "--svg", svg)
	require.NoError(t, err)
	assert.Contains(t, strings.Join(strings.Fields(out), " "), "without heat: 0 avoided. Its own error stands in both")
	assert.Len(t, regexp.MustCompile("without heat: 0 avoided").FindAllString(readSVG(t, svg).Words(), -1), 2*7, "drawn, and read aloud")
	out, _, err = apart(t, "--state", state, "nights", "--simulated", "--csv")
	require.NoError(t, err)
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err)
	at := slices.Index(rows[0], "twin_squared_degree_hours_avoided")
	for _, row := range rows[1:] {
		assert.Equal(t, "0", row[at], row[0])
	}
}

// Nights by their days; one of which nothing is recorded is told as such.
func TestNightsTellsThoseAskedFor(t *testing.T) {
	t.Parallel()
	state := nightsRecord(t, true, demoZone())
	all := nightsJSON(t, state, "--simulated", "--from", "2026-01-09", "--to", "2026-01-12")
	require.Len(t, all, 3)
	assert.Equal(t, []string{"2026-01-09", "2026-01-10", "2026-01-11"}, []string{all[0].Date, all[1].Date, all[2].Date})
	assert.Zero(t, all[0].RecordedPct)
	assert.Nil(t, all[0].ColdestC)
	assert.NotNil(t, all[1].ColdestC)
	assert.Len(t, nightsJSON(t, state, "--simulated", "--from", "2026-01-16"), 3, "to the end")
}

// The real record is told by its greenhouse file and the computer's clock.
func TestNightsOfARealRecord(t *testing.T) {
	t.Parallel()
	state := nightsRecord(t, false, time.Local)
	file := filepath.Join(t.TempDir(), "greenhouse.toml")
	require.NoError(t, os.WriteFile(file, []byte(config.Example()), 0o600))
	all := nightsJSON(t, state, "--greenhouse", file, "--last", "2")
	require.Len(t, all, 2)
	assert.False(t, all[1].Running, "its noon is long past")
	assert.InDelta(t, 100*21.0/24, all[1].RecordedPct, 0.8)
	assert.Contains(t, all[1].TwinSilent, "too little of the night is recorded")
	assert.False(t, all[0].Simulated)
	code, _, err := run(t, "--state", state, "nights")
	assert.Equal(t, exitUsage, code)
	require.ErrorContains(t, err, "--greenhouse FILE")
}

// Pictures go beside the text: seven nights into a file, more of them into a folder.
func TestNightsDraws(t *testing.T) {
	t.Parallel()
	state, dir := nightsRecord(t, true, demoZone()), t.TempDir()
	nights := func(more ...string) (int, string, error) {
		return run(t, append([]string{"--state", state, "nights", "--simulated"}, more...)...)
	}
	path := filepath.Join(dir, "week.svg")
	_, out, err := nights("--svg", path)
	require.NoError(t, err)
	assert.Contains(t, out, "Sun 18 Jan", "the text too")
	e := readSVG(t, path)
	assert.Len(t, e.Classes("week-night air-panel"), 7)
	assert.Contains(t, e.Words(), "Alder Hollow, loop bench: nights")
	code, _, err := nights("--last", "9", "--svg", path)
	assert.Equal(t, exitUsage, code)
	require.ErrorContains(t, err, "name a folder")
	folder := t.TempDir()
	_, _, err = nights("--last", "9", "--svg", folder)
	require.NoError(t, err)
	require.Len(t, files(t, folder), 2)
	assert.Len(t, readSVG(t, filepath.Join(folder, "nights-2026-01-10.svg")).Classes("week-night air-panel"), 7)
	assert.Len(t, readSVG(t, filepath.Join(folder, "nights-2026-01-17.svg")).Classes("week-night air-panel"), 2)
	_, _, err = nights("--from", "2026-02-01", "--to", "2026-02-03", "--svg", filepath.Join(dir, "none.svg"))
	require.ErrorContains(t, err, "nothing is known that could be drawn")
	assert.Len(t, files(t, dir), 1, "nothing is left behind")
}

func TestNightsRefusesWhatItCannotTell(t *testing.T) {
	t.Parallel()
	state := nightsRecord(t, true, demoZone())
	for says, args := range map[string][]string{
		"--last is 1 to":                      {"--last", "0"},
		"--from: write the day as 2026-01-15": {"--from", "yesterday"},
		"--to: write the day as 2026-01-15":   {"--from", "2026-01-12", "--to", "2026-01-15T12:00:00Z"},
		"--to goes with --from":               {"--to", "2026-01-12"},
		"not 1 to":                            {"--from", "2026-01-12", "--to", "2026-01-12"},
		"--last and --from":                   {"--last", "3", "--from", "2026-01-12"},
		"--json and --csv":                    {"--json", "--csv"},
	} {
		code, _, err := run(t, append([]string{"--state", state, "nights", "--simulated"}, args...)...)
		assert.Equal(t, exitUsage, code, says)
		require.ErrorContains(t, err, says)
	}
	code, _, err := run(t, "--state", t.TempDir(), "nights", "--simulated")
	assert.Equal(t, exitFault, code)
	require.ErrorContains(t, err, "run it first, with duskloop run (")
	empty := t.TempDir()
	r, err := record.Open(filepath.Join(agent.Folder(empty, true), agent.RecordName), record.DefaultOptions())
	require.NoError(t, err)
	require.NoError(t, r.Close())
	_, _, err = run(t, "--state", empty, "nights", "--simulated")
	require.ErrorContains(t, err, "nothing is recorded yet")
}
