package access

import (
	"crypto/tls"
	"io"
	"net"
	"net/http"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/http2"
)

// TestSlowLoris lets forty connections send heads a letter at a time, and as many bodies:
// each is hung up on in time, and others are answered meanwhile.
func TestSlowLoris(t *testing.T) {
	t.Parallel()
	lim, b := short(), newBench(t, Options{}).cheap()
	s := newServed(t, b.Guard(marked), nil, lim)
	cookie := b.enter()
	head := "GET / HTTP/1.1\r\nHost: " + s.address + "\r\nX-Slow: "
	body := "POST / HTTP/1.1\r\nHost: " + s.address + "\r\nContent-Type: application/json\r\nContent-Length: 60000\r\nCookie: " + cookie.String() + "\r\n\r\n"
	var all sync.WaitGroup
	for i := range 80 {
		c, begin := s.dial(), head
		if i%2 == 0 {
			begin = body
		}
		all.Go(func() {
			start := time.Now()
			go drip(c, begin)
			answer, _ := io.ReadAll(c)
			assert.Less(t, time.Since(start), 5*time.Second)
			if begin == head {
				assert.NotContains(t, string(answer), "reached")
			}
		})
	}
	s.answers()
	all.Wait()
	s.answers()
	t.Log("80 slow connections, all hung up on")
}

// drip sends a beginning and then a letter every few milliseconds, until it cannot.
func drip(c net.Conn, begin string) {
	_, err := io.WriteString(c, begin)
	tick := time.NewTicker(10 * time.Millisecond)
	defer tick.Stop()
	for err == nil {
		<-tick.C
		_, err = io.WriteString(c, "x")
	}
}

// TestSlowBodyEnds is a handler that reads a body which never ends: reading fails in time.
func TestSlowBodyEnds(t *testing.T) {
	t.Parallel()
	ended := make(chan error, 1)
	s := newServed(t, http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		_, err := io.ReadAll(r.Body)
		ended <- err
	}), nil, short())
	c := s.dial()
	go drip(c, "POST / HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\nffff\r\n")
	require.ErrorContains(t, <-ended, "timeout")
}

// TestNobodyTakes is an answer that is asked for and never taken, with and without HTTP/2:
// writing fails in time.
func TestNobodyTakes(t *testing.T) {
	t.Parallel()
	ended := make(chan error, 1)
	h := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		piece := make([]byte, 1<<20)
		for range 256 {
			if _, err := w.Write(piece); err != nil {
				ended <- err
				return
			}
		}
		ended <- nil
	})
	s := newServed(t, h, nil, short())
	_, err := io.WriteString(s.dial(), "GET / HTTP/1.1\r\nHost: x\r\n\r\n")
	require.NoError(t, err)
	require.ErrorContains(t, <-ended, "timeout")

	secure := newServed(t, h, newPair(t).config(t), secured())
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}, ForceAttemptHTTP2: true}}
	defer client.CloseIdleConnections()
	answer, err := client.Get("https://" + secure.address)
	require.NoError(t, err)
	defer answer.Body.Close()
	require.Equal(t, "HTTP/2.0", answer.Proto)
	require.ErrorContains(t, <-ended, "timeout")
}

// TestNobodyTakesShortAnswers asks again and again on one connection and takes none of the
// answers, each of which net/http sends by itself when the handler has returned.
func TestNobodyTakesShortAnswers(t *testing.T) {
	t.Parallel()
	answer := make([]byte, 3000)
	s := newServed(t, http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = w.Write(answer) }), nil, short())
	c := s.dial()
	require.NoError(t, c.(*net.TCPConn).SetReadBuffer(4096))
	var err error
	for err == nil {
		_, err = io.WriteString(c, "GET / HTTP/1.1\r\nHost: x\r\n\r\n")
	}
	ne, ok := err.(net.Error)
	require.False(t, ok && ne.Timeout(), "it never hung up")
}

// TestSlowFrames begins HTTP/2 and then a head that never ends: without a request under way
// the connection counts as idle, and is hung up on.
func TestSlowFrames(t *testing.T) {
	t.Parallel()
	s := newServed(t, newBench(t, Options{}).Guard(marked), newPair(t).config(t), secured())
	for _, frame := range []string{"", "\x00\x40\x00\x01\x00\x00\x00\x00\x01abc", "\x00\x00\x01\x01\x00\x00\x00\x00\x01\x82"} { // nothing; part of a head; a head without its end
		c := tls.Client(s.dial(), &tls.Config{InsecureSkipVerify: true, NextProtos: []string{http2.NextProtoTLS}})
		_, err := io.WriteString(c, http2.ClientPreface+"\x00\x00\x00\x04\x00\x00\x00\x00\x00"+frame)
		require.NoError(t, err)
		require.Equal(t, http2.NextProtoTLS, c.ConnectionState().NegotiatedProtocol)
		start := time.Now()
		_, err = io.Copy(io.Discard, c)
		require.NoError(t, err, "%q", frame)
		assert.Less(t, time.Since(start), 10*time.Second)
	}
}
