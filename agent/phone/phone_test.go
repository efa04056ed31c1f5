package phone

import (
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
)

// service plays the phone's service: it answers with codes in turn, then 200.
type service struct {
	*httptest.Server
	mu    sync.Mutex
	codes []int
	texts []string // accepted
	keys  []string // of every try
}

func newService(t *testing.T, codes ...int) *service {
	t.Helper()
	s := &service{codes: codes}
	s.Server = httptest.NewTLSServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, _ := io.ReadAll(r.Body)
		s.mu.Lock()
		defer s.mu.Unlock()
		s.keys = append(s.keys, r.Header.Get("Idempotency-Key"))
		code := http.StatusOK
		if len(s.codes) > 0 {
			code, s.codes = s.codes[0], s.codes[1:]
		}
		if code == http.StatusOK {
			s.texts = append(s.texts, r.Header.Get("Authorization")+"|"+string(body))
		}
		w.WriteHeader(code)
	}))
	t.Cleanup(s.Close)
	return s
}

func (s *service) got() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]string(nil), s.texts...)
}

func (s *service) tries() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.keys)
}

func (s *service) target() Target {
	return Target{URL: s.URL + "/x", Headers: http.Header{"Authorization": {"Bearer b"}}, Client: s.Client()}
}

// book is a record, and alerts to put in it.
func book(t *testing.T) *record.Record {
	t.Helper()
	r, err := record.Open(filepath.Join(t.TempDir(), "record.db"), record.DefaultOptions())
	require.NoError(t, err)
	t.Cleanup(func() { _ = r.Close() })
	return r
}

var noon = time.Date(2026, 1, 15, 12, 0, 0, 0, time.UTC)

func raise(t *testing.T, r *record.Record, s control.Severity, change control.ChangeKind, text string) {
	t.Helper()
	body, err := json.Marshal(wire.Alert{Head: wire.Head{Time: noon, Loop: "bench"}, Change: change.String(), Severity: s, Text: text})
	require.NoError(t, err)
	r.Append(nil, record.Event{At: noon, Loop: "bench", Kind: record.KindAlert, Body: body})
}

func options(s *service, now *time.Time) Options {
	return Options{
		Target: s.target(), Name: "Alder Hollow", From: control.Warning, Log: slog.New(slog.DiscardHandler),
		Now: func() time.Time { return *now }, First: 5 * time.Millisecond, Longest: 20 * time.Millisecond,
	}
}

// begin runs a teller until the test ends, or stop is called.
func begin(t *testing.T, r *record.Record, o Options) (stop func()) {
	t.Helper()
	teller, err := New(r, o)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	var done sync.WaitGroup
	done.Go(func() { teller.Run(ctx) })
	stop = func() { cancel(); done.Wait() }
	t.Cleanup(stop)
	return stop
}

func eventually(t *testing.T, s *service, n int) []string {
	t.Helper()
	require.Eventually(t, func() bool { return len(s.got()) >= n }, 5*time.Second, 5*time.Millisecond, "%v", s.got())
	return s.got()
}

func TestOncePerAlert(t *testing.T) {
	t.Parallel()
	s, r, now := newService(t), book(t), noon
	raise(t, r, control.Emergency, control.Raised, "before the first start")
	begin(t, r, options(s, &now))
	raise(t, r, control.Emergency, control.Raised, "Tank dangerously hot")
	raise(t, r, control.Emergency, control.Repeated, "Tank dangerously hot")
	raise(t, r, control.Notice, control.Raised, "not grave enough")
	raise(t, r, control.Emergency, control.Cleared, "over")
	raise(t, r, control.Critical, control.Raised, "Tunnel cold")
	got := eventually(t, s, 2)
	assert.Equal(t, []string{"Bearer b|Alder Hollow, bench: Tank dangerously hot", "Bearer b|Alder Hollow, bench: Tunnel cold"}, got)
}

// 500 and "too many" are tried again under the same key, and nothing is lost; 4xx is
// given up and the next is told all the same.
func TestTriedAgainOrGivenUp(t *testing.T) {
	t.Parallel()
	s, r, now := newService(t, 500, 429, 200, 403), book(t), noon
	begin(t, r, options(s, &now))
	raise(t, r, control.Alarm, control.Raised, "first")
	raise(t, r, control.Alarm, control.Raised, "refused")
	raise(t, r, control.Alarm, control.Raised, "third")
	got := eventually(t, s, 2)
	assert.Len(t, got, 2)
	assert.Contains(t, got[0], "first")
	assert.Contains(t, got[1], "third")
	assert.Equal(t, 5, s.tries())
	assert.Equal(t, s.keys[0], s.keys[2], "a try again has the same key")
	assert.NotEqual(t, s.keys[2], s.keys[3])
}

// The service is away while the daemon is stopped: what was not told is told after the
// next start, and what was told is not.
func TestOutageAndRestart(t *testing.T) {
	t.Parallel()
	s, r, now := newService(t), book(t), noon
	stop := begin(t, r, options(s, &now))
	raise(t, r, control.Alarm, control.Raised, "told")
	eventually(t, s, 1)
	away := options(s, &now)
	stop()
	away.Target.URL = "https://127.0.0.1:1/x"
	stop = begin(t, r, away)
	raise(t, r, control.Alarm, control.Raised, "in the outage")
	require.Never(t, func() bool { return len(s.got()) > 1 }, 60*time.Millisecond, 10*time.Millisecond)
	stop()
	begin(t, r, options(s, &now))
	got := eventually(t, s, 2)
	assert.Len(t, got, 2)
	assert.Contains(t, got[1], "in the outage")
}

// In quiet hours what hurts is told and what can wait waits, over a restart too; then it
// comes in one message.
func TestQuietHours(t *testing.T) {
	t.Parallel()
	s, r, now := newService(t), book(t), noon.Add(11*time.Hour)
	o := options(s, &now)
	o.Quiet = Quiet{From: 22 * time.Hour, To: 7 * time.Hour}
	stop := begin(t, r, o)
	raise(t, r, control.Warning, control.Raised, "Battery low")
	raise(t, r, control.Error, control.Raised, "Probe lost")
	raise(t, r, control.Critical, control.Raised, "Tunnel cold")
	got := eventually(t, s, 1)
	assert.Contains(t, got[0], "Tunnel cold")
	stop()
	now = noon.Add(20 * time.Hour)
	begin(t, r, o)
	got = eventually(t, s, 2)
	require.Len(t, got, 2)
	assert.Contains(t, got[1], "Battery low")
	assert.Contains(t, got[1], "Probe lost")
}

func TestNotTooOften(t *testing.T) {
	t.Parallel()
	s, r, now := newService(t), book(t), noon
	o := options(s, &now)
	o.Hourly = 2
	teller, err := New(r, o)
	require.NoError(t, err)
	for range 9 {
		raise(t, r, control.Warning, control.Raised, "Battery low")
		require.NoError(t, teller.round(t.Context()))
	}
	assert.Len(t, s.got(), 2)
	now = now.Add(61 * time.Minute)
	require.NoError(t, teller.round(t.Context()))
	got := s.got()
	require.Len(t, got, 3)
	assert.Equal(t, 7, strings.Count(got[2], "Battery low"), "what waited, in one")
}

func TestSecretFile(t *testing.T) {
	t.Parallel()
	write := func(text string, mode os.FileMode) string {
		path := filepath.Join(t.TempDir(), "phone")
		require.NoError(t, os.WriteFile(path, []byte(text), mode))
		require.NoError(t, os.Chmod(path, mode))
		return path
	}
	got, err := ReadTarget(write("# from my service\nhttps://example.org/abc\nAuthorization: Bearer z\n", 0o640))
	require.NoError(t, err)
	assert.Equal(t, "https://example.org/abc", got.URL)
	assert.Equal(t, "Bearer z", got.Headers.Get("Authorization"))
	for text, mode := range map[string]os.FileMode{
		"https://example.org/abc": 0o644, "http://example.org/abc": 0o600, "": 0o600, "nonsense": 0o600,
		"https://example.org/abc\nno header": 0o600,
	} {
		_, err := ReadTarget(write(text, mode))
		require.ErrorIs(t, err, ErrSecret, text)
		assert.NotContains(t, err.Error(), "abc", "the secret stays out of the error")
	}
	_, err = ReadTarget(filepath.Join(t.TempDir(), "none"))
	require.ErrorIs(t, err, ErrSecret)
	err = Target{URL: "https://127.0.0.1:1/hidden"}.Send(t.Context(), "k", "x")
	require.Error(t, err)
	assert.NotContains(t, err.Error(), "hidden")
}

func TestQuietOverMidnight(t *testing.T) {
	t.Parallel()
	var q Quiet
	assert.False(t, q.holds(noon), "none")
	q = Quiet{From: 22*time.Hour + 30*time.Minute, To: 6*time.Hour + 15*time.Minute}
	for clock, quiet := range map[string]bool{"22:29": false, "22:30": true, "00:00": true, "06:14": true, "06:15": false, "12:00": false} {
		at, err := time.Parse("15:04", clock)
		require.NoError(t, err)
		assert.Equal(t, quiet, q.holds(at), clock)
	}
}
