package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent"
	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/record"
	"duskloop/agent/senml"
	"duskloop/control"
)

// The broker is away for twelve periods (two minutes at the usual ten seconds)
// and the daemon is killed in the middle: no alert is lost, every committed
// reading arrives at least once, at most one batch is missing.
func TestBrokerAwayAndDaemonKilledLosesNothing(t *testing.T) {
	t.Parallel()
	s := newSite(t, "good", "")
	p := s.daemon()
	s.awaitReadings(4)

	s.broker.Stop()
	s.write("rig/level", "low") // raises level-low in the record only
	s.awaitRecorded(control.AlertLevelLow, control.Raised)
	s.awaitRows(6)
	p.kill()
	s.write("rig/level", "high")
	p = s.daemon()
	s.awaitRecorded(control.AlertLevelLow, control.Cleared)
	s.awaitRows(6)
	s.broker.Restart()
	s.awaitAlert(control.AlertLevelLow, control.Raised)
	s.awaitAlert(control.AlertLevelLow, control.Cleared)
	s.awaitReadings(3)
	code, _ := p.end(syscall.SIGTERM)
	assert.Zero(t, code)
	s.awaitOffline() // its last word; what went before it has been heard by then

	recorded, heard, repeats := s.recordedReadings(), s.heardReadings(), 0
	missing := 0
	for at := range recorded {
		if heard[at] == 0 {
			missing++
		}
		repeats += max(0, heard[at]-1)
	}
	unrecorded := 0
	for at := range heard {
		if !recorded[at] {
			unrecorded++
		}
	}
	t.Logf("committed readings %d, of them not heard %d, heard again %d; heard but lost from the record in the kill %d (a batch is 5 rows); alerts in the record %d, heard %d",
		len(recorded), missing, repeats, unrecorded, len(s.recordedAlerts()), len(s.heardAlerts()))
	assert.Zero(t, missing)
	assert.LessOrEqual(t, unrecorded, 6, "at most one batch")
	assert.Greater(t, len(recorded), 15)
	for id := range s.recordedAlerts() {
		assert.Contains(t, s.heardAlerts(), id)
	}
}

// awaitOffline waits until the daemon's last word has been heard.
func (s *site) awaitOffline() {
	s.t.Helper()
	s.heard.Await("offline", func(ms []mosquittotest.Message) bool {
		last := ""
		for _, m := range ms {
			if m.Topic == "duskloop/presence" {
				last = m.Payload
			}
		}
		return strings.Contains(last, `"offline"`)
	})
}

// reader opens the daemon's record beside it.
func (s *site) reader() *record.Reader {
	s.t.Helper()
	r, err := record.OpenReadOnly(filepath.Join(s.dir, "state", agent.RecordName))
	require.NoError(s.t, err)
	return r
}

// always is a time range that holds every row.
var forever = [2]time.Time{time.Unix(0, 0), time.Unix(1<<40, 0)}

// rows reads the record as CSV.
func (s *site) rows(events bool) [][]string {
	s.t.Helper()
	r := s.reader()
	defer r.Close()
	var b bytes.Buffer
	write := r.Readings
	if events {
		write = r.Events
	}
	_, err := write(s.t.Context(), &b, forever[0], forever[1])
	require.NoError(s.t, err)
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(s.t, err)
	return rows[1:]
}

// awaitRecorded waits until an alert's change is in the record.
func (s *site) awaitRecorded(code control.AlertCode, change control.ChangeKind) {
	s.t.Helper()
	want := code.String() + " " + change.String()
	require.Eventually(s.t, func() bool {
		for id := range s.recordedAlerts() {
			if strings.HasSuffix(id, want) {
				return true
			}
		}
		return false
	}, 30*time.Second, 100*time.Millisecond, want)
}

// awaitRows waits for n further committed readings.
func (s *site) awaitRows(n int) {
	s.t.Helper()
	before := len(s.rows(false))
	require.Eventually(s.t, func() bool { return len(s.rows(false)) >= before+n }, 30*time.Second, 200*time.Millisecond)
}

// recordedReadings are the seconds of the readings in the record.
func (s *site) recordedReadings() map[string]bool {
	at := make(map[string]bool)
	for _, row := range s.rows(false) {
		at[row[0]] = true
	}
	return at
}

// heardReadings count what a subscriber got, by the second.
func (s *site) heardReadings() map[string]int {
	at := make(map[string]int)
	for _, text := range s.heard.On("duskloop/bench/readings") {
		var pack senml.Pack
		require.NoError(s.t, json.Unmarshal([]byte(text), &pack))
		at[time.UnixMilli(int64(*pack[0].BaseTime*1000+0.5)).UTC().Format(time.RFC3339)]++
	}
	return at
}

type alertID struct {
	Time         time.Time
	Code, Change string
}

func (a alertID) id() string { return a.Time.Format(time.RFC3339Nano) + " " + a.Code + " " + a.Change }

func (s *site) recordedAlerts() map[string]bool {
	ids := make(map[string]bool)
	for _, row := range s.rows(true) {
		if row[3] == string(record.KindAlert) {
			ids[alertOf(s, row[5])] = true
		}
	}
	return ids
}

func (s *site) heardAlerts() map[string]bool {
	ids := make(map[string]bool)
	for _, text := range s.heard.On("duskloop/bench/alert") {
		ids[alertOf(s, text)] = true
	}
	return ids
}

func alertOf(s *site, text string) string {
	var a alertID
	require.NoError(s.t, json.Unmarshal([]byte(text), &a))
	return a.id()
}
