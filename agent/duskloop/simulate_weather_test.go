package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent"
)

// simulated runs simulate for its JSON.
func simulated(t *testing.T, more ...string) (s agent.Summary, stderr string) {
	t.Helper()
	out, stderr, err := apart(t, append([]string{"simulate", "--json"}, more...)...)
	require.NoError(t, err)
	var rows []agent.Summary
	require.NoError(t, json.Unmarshal([]byte(out), &rows), out)
	return rows[0], stderr
}

// coldest is the file's own lowest air between two times of any year.
func coldest(t *testing.T, path string, from, to time.Time) float64 {
	t.Helper()
	f, err := readWeather(path)
	require.NoError(t, err)
	low := math.Inf(1)
	for _, i := range f.Intervals {
		mid := i.Middle()
		if f.Typical {
			mid = time.Date(from.Year(), mid.Month(), mid.Day(), mid.Hour(), mid.Minute(), 0, 0, mid.Location())
		}
		if mid.After(from) && mid.Before(to) {
			low = min(low, float64(i.Air))
		}
	}
	return low
}

// The greenhouse lives in the file's days: its coldest outdoors are the file's.
func TestSimulateUnderAFile(t *testing.T) {
	t.Parallel()
	path := weatherFile("invented-plain.csv")
	got, stderr := simulated(t, "--weather", path, "--days", "3")
	dusk := time.Date(2026, 1, 25, 22, 17, 0, 0, time.UTC) // 17:17 at the place, by any almanac near 44° N
	assert.InDelta(t, coldest(t, path, dusk, dusk.AddDate(0, 0, 3)), got.LowestOutdoorsC, 0.05)
	assert.Contains(t, stderr, "240 of 240 rows lack direct or diffuse irradiance")
	assert.Greater(t, got.HeatIntoTankKWh, 0.1)
	later, _ := simulated(t, "--weather", path, "--days", "2", "--from", "2026-01-31")
	from := dusk.AddDate(0, 0, 6)
	assert.InDelta(t, coldest(t, path, from, from.AddDate(0, 0, 2)), later.LowestOutdoorsC, 0.1)
}

// In mild weather the lowest outdoors is the file's too, not where the plant began.
func TestSimulateUnderMildWeather(t *testing.T) {
	t.Parallel()
	var text strings.Builder
	text.WriteString("time,air_c,ghi_w_m2\n")
	for at := time.Date(2026, 1, 25, 12, 0, 0, 0, time.UTC); at.Day() != 28; at = at.Add(time.Hour) {
		text.WriteString(at.Format("2006-01-02T15:04:05Z") + ",10,0\n")
	}
	path := filepath.Join(t.TempDir(), "mild.csv")
	require.NoError(t, os.WriteFile(path, []byte(text.String()), 0o600))
	got, _ := simulated(t, "--weather", path, "--days", "1", "--from", "2026-01-25")
	assert.InDelta(t, 10, got.LowestOutdoorsC, 0.01)
}

// A typical year stands for any; the real one where it is at hand, the invented three
// days else.
func TestSimulateUnderATypicalYear(t *testing.T) {
	t.Parallel()
	path, days := os.Getenv("DUSKLOOP_WEATHER"), "5"
	if path == "" {
		t.Log("DUSKLOOP_WEATHER is not set: invented days in place of a real year")
		path, days = weatherFile("invented-tmy3.csv"), "1"
	}
	one, stderr := simulated(t, "--weather", path, "--days", days, "--from", "2026-01-15")
	other, _ := simulated(t, "--weather", path, "--days", days, "--from", "2031-01-15")
	assert.InDelta(t, one.LowestOutdoorsC, other.LowestOutdoorsC, 0.05)
	assert.InEpsilon(t, one.HeatIntoTankKWh, other.HeatIntoTankKWh, 0.1)
	if days == "5" {
		assert.Contains(t, stderr, "simulated where this weather is from, at 36.1 deg, -79.95 deg")
		dusk := time.Date(2026, 1, 15, 22, 29, 0, 0, time.UTC)
		assert.InDelta(t, coldest(t, path, dusk, dusk.AddDate(0, 0, 5)), one.LowestOutdoorsC, 0.05)
	}
}

// Given minima and maxima rule the outdoor air; the sky is still invented.
func TestSimulateUnderDailyExtremes(t *testing.T) {
	t.Parallel()
	got, _ := simulated(t, "--weather", weatherFile("invented-daily.csv"), "--days", "6")
	assert.InDelta(t, -6.0, got.LowestOutdoorsC, 0.3, "the lowest minimum of 2 to 7 February")
	_, _, err := apart(t, "simulate", "--weather", weatherFile("invented-daily.csv"), "--days", "30")
	assert.ErrorContains(t, err, "it tells of 2026-02-01 to 2026-02-14")
}

func TestSimulateRefusesWhatTheFileCannotGive(t *testing.T) {
	t.Parallel()
	path := weatherFile("invented-plain.csv")
	for says, args := range map[string][]string{
		"it tells of 2026-01-25 to 2026-02-04": {"--weather", path, "--days", "30"},
		"not of all from 2027-01-28":           {"--weather", path, "--days", "1", "--from", "2027-01-28"},
		"nothing near":                         {"--weather", weatherFile("invented-tmy3.csv"), "--days", "60", "--from", "2026-01-15"},
		"cloud-week":                           {"--weather", path, "--days", "1", "--fault", "cloud-week"},
		"no known layout":                      {"--weather", filepath.Join("..", "..", "go.mod"), "--days", "1"},
		"no such file":                         {"--weather", "nowhere.csv", "--days", "1"},
		"go together":                          {"--weather", path, "--days", "1", "--latitude", "40"},
	} {
		_, _, err := apart(t, append([]string{"simulate"}, args...)...)
		assert.ErrorContains(t, err, says)
	}
	swapped := bent(t, "invented-tmy3.csv", func(c []string) { c[2], c[3] = c[3], c[2] })
	_, stderr := simulated(t, "--days", "0.5", "--from", "2026-01-15", "--weather", swapped)
	assert.Contains(t, stderr, "DO NOT TRUST THESE FIGURES: ")
	assert.Contains(t, stderr, "columns swapped?")
}

// Gaps and broken rows are told on stderr, and the figures stay readable.
func TestSimulateTellsTheNotes(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile(weatherFile("invented-plain.csv"))
	require.NoError(t, err)
	lines := strings.SplitAfter(string(text), "\n")
	lines[20] = "2026-01-25T17:00:00,99,0,0,0\n"
	path := filepath.Join(t.TempDir(), "gaps.csv")
	require.NoError(t, os.WriteFile(path, []byte(strings.Join(append(append([]string{}, lines[:40]...), lines[43:]...), "")), 0o600))
	_, stderr := simulated(t, "--weather", path, "--days", "1")
	assert.Contains(t, stderr, "line 21: left out: air 99 °C")
	assert.Contains(t, stderr, "line 41: 3 h missing before this row")
	assert.Contains(t, stderr, "line 41: 3 h before this row are the straight line between the neighbours")
}
