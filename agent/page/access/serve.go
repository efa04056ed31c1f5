package access

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log"
	"log/slog"
	"net"
	"net/http"
	"time"
)

// limits are how much of the machine who asks may take. Chosen.
type limits struct {
	headIn  time.Duration // from connecting, or the first byte of another request, to the end of its head
	bodyIn  time.Duration // from there to the end of what it brings
	writeIn time.Duration // for each piece of an answer to be taken
	idleFor time.Duration // between two requests of a connection
	endIn   time.Duration // to finish answers when the daemon ends
	head    int           // bytes of a request's head; Go allows 4096 more
	all     int           // connections
	each    int           // of one address, loopback apart
	streams int           // requests at once on one connection under HTTP/2
}

// standard suits a browser, which opens six connections at most without HTTP/2, on a phone
// far from the house, and leaves a board of 512 MB its memory.
var standard = limits{
	headIn: 5 * time.Second, bodyIn: 10 * time.Second, writeIn: 10 * time.Second, idleFor: 2 * time.Minute, endIn: 300 * time.Millisecond,
	head: 16 << 10, all: 128, each: 24, streams: 32,
}

// Serve answers on a listener until ctx ends, and returns when the port is free again. With
// a certificate it speaks TLS (see Certificate). Requests' contexts end with ctx, and the
// time to answer is bounded for each piece of an answer, so a stream may last. Faults of
// the handler go to faults, which may be nil; what strangers do wrong goes nowhere.
func Serve(ctx context.Context, l net.Listener, h http.Handler, certificate *tls.Config, faults *slog.Logger) error {
	return serve(ctx, l, h, certificate, faults, standard)
}

func serve(ctx context.Context, l net.Listener, h http.Handler, certificate *tls.Config, faults *slog.Logger, lim limits) error {
	server := &http.Server{
		Handler: patient(h, lim), TLSConfig: certificate, ReadHeaderTimeout: lim.headIn, ReadTimeout: lim.headIn + lim.bodyIn, IdleTimeout: lim.idleFor,
		MaxHeaderBytes: lim.head, DisableGeneralOptionsHandler: true, HTTP2: &http.HTTP2Config{MaxConcurrentStreams: lim.streams, SendPingTimeout: lim.idleFor, WriteByteTimeout: lim.writeIn},
		BaseContext: func(net.Listener) context.Context { return ctx }, ErrorLog: log.New(faultsOnly{faults}, "", 0),
	}
	closed := make(chan struct{})
	stop := context.AfterFunc(ctx, func() {
		defer close(closed)
		last, cancel := context.WithTimeout(context.Background(), lim.endIn)
		defer cancel()
		if server.Shutdown(last) != nil {
			_ = server.Close()
		}
	})
	err := run(server, bounded(l, lim.all, lim.each))
	if !stop() { // ctx ended
		<-closed
		return nil
	}
	return errors.Join(fmt.Errorf("serving the page: %w", err), server.Close())
}

func run(server *http.Server, l net.Listener) error {
	if server.TLSConfig == nil {
		return server.Serve(l)
	}
	return server.ServeTLS(l, "", "")
}

// patient gives each piece of an answer its own time to be taken. ReadTimeout ends no
// stream: net/http lifts it when all that a request brings has been read.
func patient(next http.Handler, lim limits) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		p := &paced{ResponseWriter: w, to: http.NewResponseController(w), in: lim.writeIn}
		defer p.begin() // what net/http writes after us
		next.ServeHTTP(p, r)
	})
}

// paced is an answer of which each piece must be taken in time. Between two pieces there is
// no time to keep: under HTTP/2 one that ran out ends an answer of which nothing waits.
type paced struct {
	http.ResponseWriter
	to *http.ResponseController
	in time.Duration
}

func (p *paced) begin() { _ = p.to.SetWriteDeadline(time.Now().Add(p.in)) } // net/http's own writers can
func (p *paced) rest()  { _ = p.to.SetWriteDeadline(time.Time{}) }

func (p *paced) Write(b []byte) (int, error) {
	p.begin()
	defer p.rest()
	return p.ResponseWriter.Write(b)
}

// FlushError sends what was written; http.ResponseController finds it.
func (p *paced) FlushError() error {
	p.begin()
	defer p.rest()
	return p.to.Flush()
}

// Flush is FlushError for who asserts an http.Flusher.
func (p *paced) Flush() { _ = p.FlushError() }

// Unwrap leads http.ResponseController to the rest.
func (p *paced) Unwrap() http.ResponseWriter { return p.ResponseWriter }
