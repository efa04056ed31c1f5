package access

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestChanging is what may change something: with a session, from our own page, a form or
// JSON. Each row is asked on the machine and from the house.
func TestChanging(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{Reading: Everybody}).cheap()
	cookie := b.enter()
	body, long := "minutes=20", strings.Repeat("x", mostBody+1)
	formed := []string{"Content-Type", "application/x-www-form-urlencoded"}
	with := func(more ...string) []string { return append(append([]string{}, formed...), more...) }
	for _, row := range []struct {
		name    string
		code    int // with a session
		without int
		a       ask
	}{
		{"a form", 200, 401, ask{body: body, headers: formed}},
		{"JSON", 200, 401, ask{body: "{}", headers: []string{"Content-Type", "application/json; charset=utf-8"}}},
		{"nothing", 200, 401, ask{}},
		{"put", 200, 401, ask{method: "PUT", body: body, headers: formed}},
		{"delete", 200, 401, ask{method: "DELETE"}},
		{"our page", 200, 401, ask{body: body, headers: with("Sec-Fetch-Site", "same-origin", "Origin", "http://ours")}},
		{"typed by the grower", 200, 401, ask{body: body, headers: with("Sec-Fetch-Site", "none")}},
		{"our page in an old browser", 200, 401, ask{body: body, headers: with("Origin", "http://ours")}},
		{"another page", 403, 403, ask{body: body, headers: with("Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "document")}},
		{"another port of ours", 403, 403, ask{body: body, headers: with("Sec-Fetch-Site", "same-site")}},
		{"another page, old browser", 403, 403, ask{body: body, headers: with("Origin", "http://elsewhere.example")}},
		{"another port, old browser", 403, 403, ask{body: body, headers: with("Origin", "http://ours0")}},
		{"a page of nowhere", 403, 403, ask{body: body, headers: with("Origin", "null")}},
		{"a word for site that is unknown", 403, 403, ask{body: body, headers: with("Sec-Fetch-Site", "elsewhere")}},
		{"plain text", 415, 415, ask{body: body, headers: []string{"Content-Type", "text/plain"}}},
		{"parts", 415, 415, ask{body: body, headers: []string{"Content-Type", "multipart/form-data; boundary=x"}}},
		{"no kind", 415, 415, ask{body: body}},
		{"two kinds", 415, 415, ask{body: body, headers: with(formed...)}},
		{"kind that is none", 415, 415, ask{body: body, headers: []string{"Content-Type", "application/json;;="}}},
		{"packed", 415, 415, ask{body: body, headers: with("Content-Encoding", "gzip")}},
		{"a report nobody asked for", 415, 415, ask{body: body, headers: []string{"Content-Type", "application/csp-report"}}},
		{"too long", 413, 413, ask{body: long, headers: formed}},
		{"trace", 405, 405, ask{method: "TRACE"}},
		{"connect", 405, 405, ask{method: "CONNECT"}},
		{"small letters", 405, 405, ask{method: "post", body: body, headers: formed}},
		{"a method of its own", 405, 405, ask{method: "MKCOL"}},
	} {
		if row.a.method == "" {
			row.a.method = "POST"
		}
		for where, a := range map[string]ask{"here": row.a, "away": away(row.a)} {
			a.headers = ours(a)
			assert.Equal(t, row.without, b.asked(a).Code, "%s, %s, no session", row.name, where)
			a.cookie = cookie
			assert.Equal(t, row.code, b.asked(a).Code, "%s, %s", row.name, where)
		}
	}
}

// ours fills in our own origin.
func ours(a ask) []string {
	host := a.host
	if host == "" {
		host = "localhost:8460"
	}
	all := append([]string{}, a.headers...)
	for i := range all {
		all[i] = strings.Replace(all[i], "http://ours", "http://"+host, 1)
	}
	return all
}

// TestForeignReading is what other pages may do by reading: follow a link, nothing else.
func TestForeignReading(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{})
	for _, row := range []struct {
		site, mode, dest string
		code             int
	}{
		{"same-origin", "cors", "empty", 200}, {"none", "navigate", "document", 200}, {"cross-site", "navigate", "document", 200},
		{"cross-site", "cors", "empty", 403}, {"cross-site", "no-cors", "image", 403}, {"same-site", "no-cors", "script", 403},
		{"cross-site", "navigate", "iframe", 403}, {"cross-site", "", "", 403}, {"cross-site", "navigate", "object", 403},
	} {
		a := ask{headers: []string{"Sec-Fetch-Site", row.site, "Sec-Fetch-Mode", row.mode, "Sec-Fetch-Dest", row.dest}}
		assert.Equal(t, row.code, b.asked(a).Code, "%v", row)
	}
}

// TestFree is what needs no session, and what looks like it.
func TestFree(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{Free: []string{"GET /enter", "POST /enter", "GET /style.css"}, Reports: "/stopped"}).cheap()
	report := []string{"Content-Type", "application/csp-report", "Sec-Fetch-Site", "same-origin"}
	for _, row := range []struct {
		code int
		a    ask
	}{
		{200, ask{path: "/enter"}}, {200, ask{path: "/style.css?v=3"}}, {200, ask{method: "HEAD", path: "/style.css"}},
		{200, form(ask{method: "POST", path: "/enter", body: "password=x"})},
		{200, ask{method: "POST", path: "/stopped", body: "{}", headers: report}},
		{401, ask{method: "POST", path: "/style.css"}}, {401, ask{path: "/"}}, {401, ask{path: "/enter/"}}, {401, ask{path: "/enter/../"}},
		{401, ask{path: "//enter"}}, {401, ask{path: "/%65nter"}}, {401, ask{path: "/enter%2F"}}, {401, ask{path: "/Enter"}}, {401, ask{path: "/x/../enter"}},
		{401, ask{path: "/stopped"}}, {401, ask{method: "DELETE", path: "/enter"}}, {401, ask{method: "OPTIONS", path: "/enter"}},
		{403, form(ask{method: "POST", path: "/enter", body: "password=x", headers: []string{"Sec-Fetch-Site", "cross-site"}})},
		{415, ask{method: "POST", path: "/enter", body: "{}", headers: report}},
		{421, ask{path: "/enter", host: "rebound.example"}},
	} {
		if row.a.host == "" {
			row.a = away(row.a)
		}
		w := b.asked(row.a)
		if row.a.method == "HEAD" {
			continue
		}
		assert.Equal(t, row.code, w.Code, "%s %s", row.a.method, row.a.path)
	}
	for _, bad := range []string{"", "/enter", "GET", "GET enter", "GET  /enter", "get /enter", "GET /%65", "GET /{any}", "GET /a?b", "TRACE /"} {
		_, err := Open(Options{Folder: t.TempDir(), Free: []string{bad}})
		assert.ErrorContains(t, err, "could be free", "%q", bad)
	}
	for _, bad := range []string{"", "a b", "a:80", "[::1]", "https://a", "a/b", "*", "fe80::1%eth0"} {
		_, err := Open(Options{Folder: t.TempDir(), Names: []string{bad}})
		assert.ErrorContains(t, err, "no name or address", "%q", bad)
	}
}

// TestHeaders holds the headers of every answer, passed or refused, and that nothing in the
// policy lets text of a page run.
func TestHeaders(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{Reports: "/stopped"})
	refused := 0
	for _, a := range []ask{{}, away(ask{}), {host: "rebound.example"}, {method: "TRACE"}, {method: "POST", headers: []string{"Origin", "null"}}, {method: "POST", body: "x"}, {method: "POST"}} {
		w := b.asked(a)
		h := w.Header()
		if w.Code != 200 {
			refused++
		}
		for name, value := range map[string]string{
			"X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "Cross-Origin-Opener-Policy": "same-origin", "X-Frame-Options": "DENY",
			"Cross-Origin-Resource-Policy": "same-origin", "Cache-Control": "no-store", "Permissions-Policy": unused, "Vary": "Cookie",
		} {
			assert.Equal(t, value, h.Get(name), name)
		}
		said := map[string]string{}
		for _, part := range strings.Split(h.Get("Content-Security-Policy"), ";") {
			name, value, _ := strings.Cut(strings.TrimSpace(part), " ")
			said[name] = value
		}
		assert.Equal(t, map[string]string{
			"default-src": "'none'", "img-src": "'self' data:", "style-src": "'self'", "script-src": "'self'", "connect-src": "'self'", "manifest-src": "'self'",
			"form-action": "'self'", "frame-ancestors": "'none'", "base-uri": "'none'", "report-uri": "/stopped",
		}, said)
		assert.Equal(t, w.Code == 401, h.Get("WWW-Authenticate") != "")
		assert.Equal(t, w.Code == 405, h.Get("Allow") != "")
		assert.Empty(t, h.Get("Access-Control-Allow-Origin"))
	}
	assert.Equal(t, 6, refused)
}

// TestRefused hands the refusal to the page, with the headers set.
func TestRefused(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{Refused: func(w http.ResponseWriter, r *http.Request, code int) {
		assert.NotEmpty(t, w.Header().Get("Content-Security-Policy"))
		if code == http.StatusUnauthorized && r.Method == "GET" {
			http.Redirect(w, r, "/enter", http.StatusSeeOther)
			return
		}
		w.WriteHeader(code)
		_, _ = fmt.Fprint(w, code)
	}})
	w := b.asked(away(ask{}))
	assert.Equal(t, 303, w.Code)
	assert.Equal(t, "/enter", w.Header().Get("Location"))
	assert.Equal(t, "405", b.asked(ask{method: "TRACE"}).Body.String())
}

// TestLongBody lets a body grow past what it may bring without having said so.
func TestLongBody(t *testing.T) {
	t.Parallel()
	b := newBench(t, Options{}).cheap()
	for length, fits := range map[int]bool{mostBody: true, mostBody + 1: false, 10 << 20: false} {
		r := form(ask{method: "POST", body: strings.Repeat("x", length), cookie: b.enter()}).request()
		r.ContentLength = -1
		w, taken := httptest.NewRecorder(), 0
		b.Guard(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
			body, err := io.ReadAll(r.Body)
			taken = len(body)
			var over *http.MaxBytesError
			assert.Equal(t, fits, err == nil)
			assert.Equal(t, fits, !errors.As(err, &over))
		})).ServeHTTP(w, r)
		require.Equal(t, 200, w.Code)
		assert.LessOrEqual(t, taken, mostBody)
	}
}
