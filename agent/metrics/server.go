package metrics

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"sync/atomic"
	"time"

	"golang.org/x/net/netutil"
)

// ContentType is that of OpenMetrics 1.0 text.
const ContentType = "application/openmetrics-text; version=1.0.0; charset=utf-8"

// Path is where the figures are.
const Path = "/metrics"

// A request is a few hundred bytes and an answer some thousand: who takes longer than
// this, or comes with more company, is not served. Chosen.
const (
	headIn    = 5 * time.Second
	answerIn  = 10 * time.Second
	idleFor   = 2 * time.Minute // askers come back every 15 s to 1 min
	longest   = 8 << 10         // bytes of a request's head
	atOnce    = 8               // connections
	closingIn = 300 * time.Millisecond
)

// Server serves the last Status shown. Show may be called from any goroutine, at any
// time, and never waits.
type Server struct {
	from   Source
	listen net.Listener
	status atomic.Pointer[Status]
}

// Listen takes the port. Serve answers on it.
func Listen(address string, from Source) (*Server, error) {
	l, err := net.Listen("tcp", address)
	if err != nil {
		return nil, fmt.Errorf("listening for metrics: %w", err)
	}
	return &Server{from: from, listen: netutil.LimitListener(l, atOnce)}, nil
}

// Address is where it listens.
func (s *Server) Address() string { return s.listen.Addr().String() }

// Show hands over the loop after a tick.
func (s *Server) Show(st Status) { s.status.Store(&st) }

// Serve answers until ctx ends, and returns when the port is free again.
func (s *Server) Serve(ctx context.Context) error {
	server := &http.Server{
		Handler: s.handler(), ReadHeaderTimeout: headIn, ReadTimeout: headIn, WriteTimeout: answerIn,
		IdleTimeout: idleFor, MaxHeaderBytes: longest, BaseContext: func(net.Listener) context.Context { return ctx },
	}
	closed := make(chan struct{})
	stop := context.AfterFunc(ctx, func() {
		defer close(closed)
		last, cancel := context.WithTimeout(context.Background(), closingIn)
		defer cancel()
		if server.Shutdown(last) != nil {
			_ = server.Close()
		}
	})
	err := server.Serve(s.listen)
	if !stop() { // ctx ended
		<-closed
		return nil
	}
	return fmt.Errorf("serving metrics: %w", err)
}

// Close gives the port back where Serve was never called.
func (s *Server) Close() error { return s.listen.Close() }

// handler answers GET and HEAD of one path.
func (s *Server) handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET "+Path, func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", ContentType)
		w.Header().Set("Cache-Control", "no-store")
		_, _ = io.WriteString(w, exposition(s.status.Load(), s.from)) // who went away needs no answer
	})
	return mux
}
