package mqtt

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"duskloop/agent/wire"
)

// Feed keeps a broker up to date with the record. Make it with New, then call
// Start once and Stop once. Other methods may be called from any goroutine, at
// any time, and never wait.
type Feed struct {
	opts     Options
	rec      Recorder
	topics   topics
	lines    []Line
	intake   *intake
	cursors  *cursors
	latest   map[string]latest // per loop, as last sent; the run goroutine's own
	stale    map[string]bool   // loops whose settings must be sent; likewise
	recalled bool              // latest was filled from the record; likewise

	beat    chan wire.Heartbeat
	answers chan wire.Answer // to commands that only ask, which the record does not hold

	stopping  chan struct{} // closed when Stop begins
	deadline  context.Context
	cut       context.CancelFunc
	done      chan struct{}
	started   atomic.Bool
	delivered atomic.Int64

	mu   sync.Mutex
	down time.Time // since when not connected; zero while connected
	err  error
}

// New prepares a feed of the record. It does not connect yet. It returns an
// error for options that cannot be, or when the record cannot be read.
func New(rec Recorder, o Options) (*Feed, error) {
	f := &Feed{
		opts: o.withDefaults(), rec: rec,
		latest: make(map[string]latest), stale: make(map[string]bool),
		beat: make(chan wire.Heartbeat, 1), answers: make(chan wire.Answer, 8),
		stopping: make(chan struct{}), done: make(chan struct{}),
		down: time.Now(), err: errors.New("not connected yet"),
	}
	f.topics = topics{f.opts.Prefix}
	if f.opts.Address == "" {
		return nil, errors.New("preparing messages: no broker address")
	}
	if err := checkSegment("prefix", f.opts.Prefix, "/"); err != nil {
		return nil, fmt.Errorf("preparing messages: %w", err)
	}
	var err error
	if f.cursors, err = restoreCursors(rec); err != nil {
		return nil, fmt.Errorf("preparing messages: %w", err)
	}
	if f.opts.ClientID, err = clientID(rec, f.opts.ClientID); err != nil {
		return nil, fmt.Errorf("preparing messages: %w", err)
	}
	f.deadline, f.cut = context.WithCancel(context.Background())
	f.intake = newIntake(f)
	return f, nil
}

// Start begins to send, and to take commands for the loops given. It returns at
// once, with an error only for a loop whose name cannot be part of a topic.
func (f *Feed) Start(lines ...Line) error {
	for _, l := range lines {
		if err := checkSegment("name of loop", l.Name, ""); err != nil {
			return fmt.Errorf("starting messages: %w", err)
		}
	}
	f.lines = lines
	f.started.Store(true)
	f.intake.start()
	go f.run()
	return nil
}

// Beat hands over a heartbeat. It is sent if there is a connection now; an
// older one still waiting is replaced, and none is kept for later.
func (f *Feed) Beat(h wire.Heartbeat) {
	for {
		select {
		case f.beat <- h:
			return
		default:
		}
		select {
		case <-f.beat:
		default:
		}
	}
}

// Failing says that there has been no connection for longer than Options.Grace.
func (f *Feed) Failing() bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return !f.down.IsZero() && time.Since(f.down) > f.opts.Grace
}

// Err is why there is no connection; nil while there is one.
func (f *Feed) Err() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.err
}

// Left counts the rows of the record that the broker has not acknowledged.
func (f *Feed) Left() int64 { return f.cursors.left(f.rec) }

// Delivered counts messages acknowledged by the broker.
func (f *Feed) Delivered() int64 { return f.delivered.Load() }

// Stop takes no more commands, sends what the record holds, says offline and
// disconnects; when ctx ends it breaks off. What was not sent is sent after the
// next start. It returns an error if something was left, and when called a
// second time does nothing.
func (f *Feed) Stop(ctx context.Context) error {
	if !f.started.CompareAndSwap(true, false) {
		return nil
	}
	stop := context.AfterFunc(ctx, f.cut)
	defer stop()
	f.intake.stop()
	close(f.stopping)
	f.awaitEnd()
	f.cut()
	if left := f.cursors.left(f.rec); left > 0 {
		return fmt.Errorf("stopping messages: %d rows not sent; they are sent after the next start: %w", left, errLeft)
	}
	return nil
}

// awaitEnd waits for the run goroutine until the deadline, and a little longer
// for its last word. A stalled network may hold it even then; it is left behind.
func (f *Feed) awaitEnd() {
	select {
	case <-f.done:
		return
	case <-f.deadline.Done():
	}
	select {
	case <-f.done:
	case <-time.After(2 * partIn):
		f.opts.Log.Warn("broker too slow; leaving without a word, the last will speaks")
	}
}

var errLeft = errors.New("broker away or too slow")
