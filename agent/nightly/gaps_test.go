package nightly

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control"
	"duskloop/sensors/quantity"
)

// broken has so many gaps of a minute and one of five from 2:10, and a dozen alerts, of which
// the last is the gravest.
func broken(short int) Night {
	n := toldNight()
	for i := range short {
		from := hour(1).Add(time.Duration(i) * 5 * time.Minute)
		n.Gaps = append(n.Gaps, Gap{from, from.Add(time.Minute)})
	}
	long := hour(14 + 1.0/6)
	n.Gaps = append(n.Gaps, Gap{long, long.Add(5 * time.Minute)})
	n.Alerts = nil
	for i := range 11 {
		n.Alerts = append(n.Alerts, Alert{Code: fmt.Sprintf("warned-%d", i), Place: "greenhouse", Severity: control.Warning, LastedS: float64(600 * i)})
	}
	n.Alerts = append(n.Alerts, Alert{Code: "tank-hot", Severity: control.Emergency, LastedS: 60})
	return n
}

// 132 gaps of a minute and one of five are 137 min in all. Up to three gaps are told one by one.
func TestManyGapsAreSummedUp(t *testing.T) {
	t.Parallel()
	p := Printer{Units: quantity.SI, Zone: zone}
	const said = "133 gaps, 2 h 17 min in all, the longest 5 min from 02:10"
	many, few := broken(132), broken(2)
	assert.Equal(t, []string{said}, p.missing(many.Gaps))
	assert.Contains(t, p.Says(&many), said+".")
	assert.Equal(t, []string{"nothing from 13:00 to 13:01", "nothing from 13:05 to 13:06", "nothing from 02:10 to 02:15"}, p.missing(few.Gaps))
	four := broken(3)
	assert.Equal(t, []string{"4 gaps, 8 min in all, the longest 5 min from 02:10"}, p.missing(four.Gaps))
	assert.Empty(t, p.missing(nil))
}

// Five alerts of twelve are named: the gravest, then those that lasted longest.
func TestManyAlertsAreSummedUp(t *testing.T) {
	t.Parallel()
	n := broken(0)
	assert.Equal(t, []string{
		"tank-hot 1 min", "warned-10:greenhouse 1 h 40 min", "warned-9:greenhouse 1 h 30 min",
		"warned-8:greenhouse 1 h 20 min", "warned-7:greenhouse 1 h 10 min", "7 lesser alerts",
	}, alerted(&n))
	n.Alerts = n.Alerts[6:]
	assert.Equal(t, "one lesser alert", alerted(&n)[5])
	n.Alerts = n.Alerts[1:]
	assert.Equal(t, "warned-7:greenhouse 1 h 10 min", alerted(&n)[0], "as they came")
	assert.Len(t, alerted(&n), 5)
}

// However many gaps and alerts, a line of a night is as long as that of one without, and what
// is said below is a few lines.
func TestNightsStayReadable(t *testing.T) {
	t.Parallel()
	bad := broken(137)
	bad.Running, bad.RecordedPct, bad.HeatUnseenS, bad.TwinSilent = true, 83, 300, "too little of the night is recorded"
	p := Printer{Units: quantity.US, Zone: zone}
	whole := printed(t, quantity.US, toldNight())
	lines := printed(t, quantity.US, bad)
	assert.LessOrEqual(t, utf8.RuneCountInString(lines[1]), utf8.RuneCountInString(whole[1]))
	assert.Less(t, utf8.RuneCountInString(p.notes(&bad)), 4*88, "four lines of a page")
	assert.Less(t, utf8.RuneCountInString(strings.Join(p.Says(&bad), " ")), 640)
	var b bytes.Buffer
	require.NoError(t, CSV(&b, []Night{bad}))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	of := make(map[string]string)
	for i, name := range rows[0] {
		of[name] = rows[1][i]
		if name != "alerts" {
			assert.Less(t, len(rows[1][i]), 150, name)
		}
	}
	assert.Equal(t, "138", of["gaps_count"])
	assert.Equal(t, "8520", of["gaps_s"], "137 minutes and five")
	assert.Equal(t, "300", of["gaps_longest_s"])
	assert.Contains(t, of["gaps"], "2026-01-16T07:10:00Z/2026-01-16T07:15:00Z", "the longest is among those named")
	assert.Equal(t, 3, strings.Count(of["gaps"], "/"))
}
