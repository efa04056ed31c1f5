package access

import (
	"context"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// noon is the tests' time; an invented one.
var noon = time.Date(2026, 1, 15, 12, 0, 0, 0, time.UTC)

const (
	right = "thirty tomatoes, one frost" // the tests' password
	wrong = "thirty tomatoes, two frosts"
)

// hand is a clock moved by hand.
type hand struct {
	mu sync.Mutex
	at time.Time
}

func (h *hand) now() time.Time {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.at
}

func (h *hand) move(d time.Duration) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.at = h.at.Add(d)
}

// bench is a Keeper with a folder and a clock of its own.
type bench struct {
	*Keeper
	t     testing.TB
	clock *hand
}

// newBench opens a Keeper. Its clock stands at noon.
func newBench(t testing.TB, o Options) *bench {
	t.Helper()
	clock := &hand{at: noon}
	if o.Folder == "" {
		o.Folder = t.TempDir()
	}
	o.Now = clock.now
	k, err := Open(o)
	require.NoError(t, err)
	return &bench{k, t, clock}
}

// cheap gives it the tests' password under a hash of little work, so that thousands of
// tries take seconds.
func (b *bench) cheap() *bench {
	h := &hashed{kib: leastKiB, passes: 1, lanes: 1, salt: []byte("greenhouse-salt!")}
	h.sum = h.of(right, hashBytes)
	b.hash, b.link = h, ""
	return b
}

// ask is a request as it reaches the server.
type ask struct {
	method, path string
	peer, local  string // addresses
	host, body   string
	headers      []string // names and values in turn
	cookie       *http.Cookie
}

// request makes it; what is left out is that of a browser on the machine itself.
func (a ask) request() *http.Request {
	or := func(s, other string) string {
		if s == "" {
			return other
		}
		return s
	}
	var body io.Reader
	if a.body != "" {
		body = strings.NewReader(a.body)
	}
	r := httptest.NewRequest(or(a.method, "GET"), or(a.path, "/"), body)
	r.Host = or(a.host, "localhost:8460")
	r.RemoteAddr = netip.AddrPortFrom(netip.MustParseAddr(or(a.peer, "127.0.0.1")), 40000).String()
	here := net.TCPAddrFromAddrPort(netip.AddrPortFrom(netip.MustParseAddr(or(a.local, "127.0.0.1")), 8460))
	r = r.WithContext(context.WithValue(r.Context(), http.LocalAddrContextKey, here))
	for i := 0; i+1 < len(a.headers); i += 2 {
		r.Header.Add(a.headers[i], a.headers[i+1])
	}
	if a.cookie != nil {
		r.AddCookie(a.cookie)
	}
	return r
}

// away is the same request from a telephone in the house's network.
func away(a ask) ask {
	a.peer, a.local, a.host = "192.168.7.20", "192.168.7.2", "192.168.7.2:8460"
	return a
}

// form makes a request a form.
func form(a ask) ask {
	a.headers = append(a.headers, "Content-Type", "application/x-www-form-urlencoded")
	return a
}

// marked is a handler that says that it was reached.
var marked = http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, "reached") })

// asked guards a request and returns the answer; only what passed says that it was reached.
func (b *bench) asked(a ask) *httptest.ResponseRecorder {
	b.t.Helper()
	w := httptest.NewRecorder()
	b.Guard(marked).ServeHTTP(w, a.request())
	require.Equal(b.t, w.Code == http.StatusOK, strings.Contains(w.Body.String(), "reached"), "code %d, body %q", w.Code, w.Body)
	return w
}

// enter enters with the right password, from the telephone.
func (b *bench) enter() *http.Cookie {
	b.t.Helper()
	c, err := b.Enter(away(ask{}).request(), right)
	require.NoError(b.t, err)
	return c
}
