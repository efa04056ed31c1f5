package main

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/payloadtest"
	"duskloop/agent/mqtt"
)

// visitor is a browser without a script.
type visitor struct {
	t    *testing.T
	base string
	http http.Client
}

// get is what a page says.
func (v *visitor) get(path string) (int, string) {
	v.t.Helper()
	answer, err := v.http.Get(v.base + path)
	require.NoError(v.t, err)
	return v.read(answer)
}

// post is a form sent.
func (v *visitor) post(path string, form url.Values) (int, string) {
	v.t.Helper()
	answer, err := v.http.PostForm(v.base+path, form)
	require.NoError(v.t, err)
	return v.read(answer)
}

func (v *visitor) read(answer *http.Response) (int, string) {
	v.t.Helper()
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	require.NoError(v.t, err)
	return answer.StatusCode, string(text)
}

// The whole way of a grower on the demo's page without a script: the answer, the live
// state by the messages' own schemas, the password by the printed link and by one asked
// for at the machine, an order, a threshold previewed and applied, and the record.
func TestPageFromEndToEnd(t *testing.T) {
	t.Parallel()
	s := &site{t: t, dir: t.TempDir()}
	p := s.start("run", "--speed", "600")
	link := regexp.MustCompile(`(http://127\.0\.0\.1:\d+)/first\?link=(\w+)`)
	var m []string
	require.Eventually(t, func() bool { m = link.FindStringSubmatch(p.said()); return m != nil }, 10*time.Second, 20*time.Millisecond)
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	v := &visitor{t: t, base: m[1], http: http.Client{Jar: jar, Timeout: 20 * time.Second}}
	require.Eventually(t, func() bool {
		_, text := v.get("/")
		return strings.Contains(text, "°F") && strings.Contains(text, "<svg")
	}, 20*time.Second, 100*time.Millisecond)
	code, text := v.get("/healthz")
	assert.Equal(t, http.StatusOK, code, text)
	v.stateIsDocumented()

	code, text = v.post("/hand", url.Values{"order": {"hold"}, "for": {"1 h"}})
	assert.Equal(t, http.StatusUnauthorized, code)
	assert.Contains(t, text, "password is asked for first")
	code, text = v.post("/first", url.Values{"token": {"wrong"}, "password": {"eight letters"}})
	assert.Equal(t, http.StatusUnprocessableEntity, code, text)
	again := s.start("page", "link", "--simulated")
	require.NoError(t, again.cmd.Wait())
	fresh := link.FindStringSubmatch(again.said())
	require.NotNil(t, fresh, again.said())
	code, text = v.post("/first", url.Values{"token": {fresh[2]}, "password": {"eight letters"}})
	require.Equal(t, http.StatusOK, code, text)
	assert.Contains(t, text, "Leave: ask for the password again")

	_, text = v.post("/hand", url.Values{"order": {"hold"}, "for": {"1 h"}})
	assert.Contains(t, text, "held off: nothing starts")
	_, _ = v.post("/hand", url.Values{"order": {"end"}})
	code, text = v.post("/thresholds", url.Values{"carry.start_difference": {"90 °F"}})
	assert.Equal(t, http.StatusUnprocessableEntity, code)
	assert.Contains(t, text, `id="fault-carry-start-difference"`)
	code, text = v.post("/thresholds", url.Values{"carry.start_difference": {"18 °F"}})
	assert.Equal(t, http.StatusOK, code)
	assert.Contains(t, text, "What it would have done")
	code, text = v.post("/thresholds/make", url.Values{"carry.start_difference": {"18 °F"}, "was.carry.start_difference": {"14 °F"}})
	assert.Equal(t, http.StatusOK, code)
	assert.Contains(t, text, `value="18 °F"`)
	assert.Contains(t, text, "Changed, and recorded.")
	_, text = v.get("/record.csv?from=2026-01-14&to=2026-01-20&what=events")
	assert.Regexp(t, `page, 127\.0\.0\.1, entered as [0-9a-f]{8}`, text, "who, in the record")
	assert.NotContains(t, text+p.said(), "eight letters")
	code, _ = p.end(syscall.SIGINT)
	assert.Zero(t, code)
}

// stateIsDocumented holds each member of the live state against the messages' schemas.
func (v *visitor) stateIsDocumented() {
	v.t.Helper()
	j := payloadtest.New(v.t, mqtt.Document())
	seen := map[string]json.RawMessage{}
	require.Eventually(v.t, func() bool {
		_, text := v.get("/state.json")
		seen = map[string]json.RawMessage{}
		require.NoError(v.t, json.Unmarshal([]byte(text), &seen))
		return len(seen) == 4
	}, 20*time.Second, 100*time.Millisecond, "decision, tonight, alerts and readings")
	for _, name := range []string{"decision", "tonight", "alerts"} {
		text := string(seen[name])
		if name != "alerts" { // an event's number is the message's, not the state's
			text = `{"seq":1,` + text[1:]
		}
		j.Hold(v.t, "duskloop/simulated/bench/"+name, text)
	}
	answer := `{"time":"2026-01-15T22:00:00Z","loop":"bench","simulated":true,"id":"","accepted":true,"reason":"readings of the last cycle","readings":` + string(seen["readings"]) + `}`
	j.Hold(v.t, "duskloop/simulated/bench/answer", answer)
}
