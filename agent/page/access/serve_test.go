package access

import (
	"bufio"
	"bytes"
	"context"
	"crypto/tls"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// short are limits that a test can wait for.
func short() limits {
	lim := standard
	lim.headIn, lim.bodyIn, lim.writeIn, lim.idleFor = 300*time.Millisecond, 300*time.Millisecond, 400*time.Millisecond, 800*time.Millisecond
	return lim
}

// secured is short, but for the time of a head, which covers the handshake too: a busy
// machine draws that out.
func secured() limits {
	lim := short()
	lim.headIn = 2 * time.Second
	return lim
}

// served is a server on a real port of loopback.
type served struct {
	t       testing.TB
	address string
	faults  *bytes.Buffer // read after stop
	cancel  context.CancelFunc
	over    chan error
}

func newServed(t testing.TB, h http.Handler, certificate *tls.Config, lim limits) *served {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	s := &served{t, l.Addr().String(), &bytes.Buffer{}, cancel, make(chan error, 1)}
	log := slog.New(slog.NewTextHandler(s.faults, nil))
	go func() { s.over <- serve(ctx, l, h, certificate, log, lim) }()
	t.Cleanup(s.stop)
	return s
}

// stop ends the server and waits for it; a second time it does nothing.
func (s *served) stop() {
	s.cancel()
	if err, ok := <-s.over; ok {
		assert.NoError(s.t, err)
		close(s.over)
	}
}

func (s *served) dial() net.Conn {
	s.t.Helper()
	c, err := net.Dial("tcp", s.address)
	require.NoError(s.t, err)
	s.t.Cleanup(func() { _ = c.Close() })
	require.NoError(s.t, c.SetDeadline(time.Now().Add(20*time.Second)))
	return c
}

// said writes to a new connection and reads until the server hangs up.
func (s *served) said(text string) string {
	s.t.Helper()
	c := s.dial()
	go func() { _, _ = io.WriteString(c, text) }()
	all, err := io.ReadAll(c)
	if ne, ok := err.(net.Error); ok {
		require.False(s.t, ne.Timeout(), "it never hung up")
	}
	return string(all)
}

// answers asks as a browser would and requires an answer.
func (s *served) answers() {
	s.t.Helper()
	text := s.said("GET / HTTP/1.1\r\nHost: " + s.address + "\r\nConnection: close\r\n\r\n")
	require.True(s.t, strings.HasPrefix(text, "HTTP/1.1 200 OK"), "%q", text)
}

// TestStreamLasts sends pieces further apart than every limit, with and without HTTP/2, and
// then asks again on the same connection.
func TestStreamLasts(t *testing.T) {
	t.Parallel()
	lim := short()
	lim.headIn = 700 * time.Millisecond // covers the handshake
	stream := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/nothing" {
			w.WriteHeader(http.StatusNoContent)
			return
		}
		if r.Method == http.MethodPost {
			_, err := io.Copy(io.Discard, r.Body)
			assert.NoError(t, err)
		}
		tick := time.NewTicker(max(lim.headIn, lim.bodyIn, lim.writeIn) + 50*time.Millisecond)
		defer tick.Stop()
		for i := range 3 {
			_, _ = fmt.Fprintf(w, "data: %d %s\n\n", i, r.Proto)
			if r.URL.Path == "/" {
				require.NoError(t, http.NewResponseController(w).Flush())
			}
			select {
			case <-tick.C:
			case <-r.Context().Done():
				t.Error("the stream was ended: ", context.Cause(r.Context()))
				return
			}
		}
	})
	plain := newServed(t, stream, nil, lim)
	secure := newServed(t, stream, newPair(t).config(t), lim)
	for url, proto := range map[string]string{"http://" + plain.address: "HTTP/1.1", "https://" + secure.address: "HTTP/2.0"} {
		t.Run(proto, func(t *testing.T) {
			t.Parallel()
			client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}, ForceAttemptHTTP2: true}}
			defer client.CloseIdleConnections()
			for i, path := range []string{"/", "/nothing", "/unflushed", "/nothing", "/"} {
				method, body := "GET", ""
				if i > 1 {
					method, body = "POST", "x"
				}
				r, err := http.NewRequest(method, url+path, strings.NewReader(body))
				require.NoError(t, err)
				answer, err := client.Do(r)
				require.NoError(t, err)
				text, err := io.ReadAll(answer.Body)
				require.NoError(t, err)
				require.NoError(t, answer.Body.Close())
				assert.Equal(t, map[string]int{"/": 3, "/unflushed": 3}[path], strings.Count(string(text), "data: "))
				assert.Equal(t, proto, answer.Proto)
			}
		})
	}
}

// TestServeEnds ends the daemon while streams last, an idle connection and half a request
// are open: in time, and the port is free.
func TestServeEnds(t *testing.T) {
	t.Parallel()
	begun := make(chan bool)
	s := newServed(t, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		begun <- true
		if r.URL.Path == "/deaf" {
			<-time.After(5 * time.Second) // a handler that does not listen
			return
		}
		<-r.Context().Done()
	}), nil, standard)
	_, _ = s.dial(), s.dial()
	_, err := io.WriteString(s.dial(), "GET / HTTP/1.1\r\nHost")
	require.NoError(t, err)
	for i := range 20 {
		path := "/"
		if i == 0 {
			path = "/deaf"
		}
		_, err := io.WriteString(s.dial(), "GET "+path+" HTTP/1.1\r\nHost: x\r\n\r\n")
		require.NoError(t, err)
		<-begun
	}
	start := time.Now()
	s.stop()
	took := time.Since(start)
	assert.Less(t, took, standard.endIn+500*time.Millisecond)
	l, err := net.Listen("tcp", s.address)
	require.NoError(t, err)
	require.NoError(t, l.Close())
	t.Logf("ended in %v with 20 streams open, one deaf", took.Round(time.Millisecond))
}

// TestStreamsHear tells streams that the daemon ends, long before they would be cut off.
func TestStreamsHear(t *testing.T) {
	t.Parallel()
	begun, lim := make(chan bool), standard
	lim.endIn = 15 * time.Second
	s := newServed(t, http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		begun <- true
		<-r.Context().Done()
	}), nil, lim)
	_, err := io.WriteString(s.dial(), "GET / HTTP/1.1\r\nHost: x\r\n\r\n")
	require.NoError(t, err)
	<-begun
	start := time.Now()
	s.stop()
	assert.Less(t, time.Since(start), lim.endIn/3)
}

// TestServeFails says what is wrong with a listener.
func TestServeFails(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	require.NoError(t, l.Close())
	require.ErrorContains(t, Serve(t.Context(), l, marked, nil, nil), "serving the page: ")
}

// TestFaults logs a handler that fails, and nothing of what strangers do.
func TestFaults(t *testing.T) {
	t.Parallel()
	s := newServed(t, http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) { panic("at " + r.URL.Path) }), newPair(t).config(t), standard)
	_ = s.said("GET / HTTP/1.1\r\nHost: x\r\n\r\n") // no TLS
	c := tls.Client(s.dial(), &tls.Config{InsecureSkipVerify: true})
	_, err := io.WriteString(c, "GET /one HTTP/1.1\r\nHost: x\r\n\r\n")
	require.NoError(t, err)
	_, err = bufio.NewReader(c).ReadByte()
	require.Error(t, err)
	s.stop()
	assert.Equal(t, 1, strings.Count(s.faults.String(), "\n"))
	assert.Contains(t, s.faults.String(), "at /one")
	n, err := faultsOnly{}.Write([]byte("http: panic serving nobody"))
	assert.NoError(t, err)
	assert.Equal(t, 26, n)
}
