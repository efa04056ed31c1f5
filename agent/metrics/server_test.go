package metrics

import (
	"context"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRequests(t *testing.T) {
	t.Parallel()
	s := &Server{from: source()}
	s.Show(carrying())
	for _, row := range []struct {
		method, path string
		code         int
	}{
		{"GET", "/metrics", 200}, {"HEAD", "/metrics", 200}, {"POST", "/metrics", 405}, {"PUT", "/metrics", 405}, {"DELETE", "/metrics", 405},
		{"GET", "/", 404}, {"GET", "/metrics/", 404}, {"GET", "/debug/pprof", 404}, {"POST", "/", 404},
	} {
		w := httptest.NewRecorder()
		s.handler().ServeHTTP(w, httptest.NewRequest(row.method, row.path, nil))
		assert.Equal(t, row.code, w.Code, "%s %s", row.method, row.path)
		switch row.code {
		case 200:
			assert.Equal(t, ContentType, w.Header().Get("Content-Type"))
			assert.NotEmpty(t, parsed(t, w.Body.String()))
		case 405:
			assert.Equal(t, "GET, HEAD", w.Header().Get("Allow"))
		}
	}
}

// TestServe is the server on a port: what was shown last is what is read, a busy port is
// said, and the port is free when Serve has returned, an idle asker or not.
func TestServe(t *testing.T) {
	t.Parallel()
	s, err := Listen("127.0.0.1:0", source())
	require.NoError(t, err)
	_, err = Listen(s.Address(), source())
	require.ErrorContains(t, err, "listening for metrics: listen tcp "+s.Address())
	ctx, cancel := context.WithCancel(t.Context())
	over := make(chan error, 1)
	go func() { over <- s.Serve(ctx) }()

	asked := func() map[string]float64 {
		answer, err := http.Get("http://" + s.Address() + Path)
		require.NoError(t, err)
		defer answer.Body.Close()
		text, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		assert.Equal(t, ContentType, answer.Header.Get("Content-Type"))
		return parsed(t, string(text))
	}
	assert.Len(t, asked(), 1)
	for n := int64(1); n <= 3; n++ {
		st := carrying()
		st.Ticks = n
		s.Show(st)
		assert.EqualValues(t, n, asked()[of("duskloop_ticks_total")])
	}
	idle, err := net.Dial("tcp", s.Address())
	require.NoError(t, err)
	defer idle.Close()
	cancel()
	require.NoError(t, <-over)
	again, err := net.Listen("tcp", s.Address())
	require.NoError(t, err)
	require.NoError(t, again.Close())
}
