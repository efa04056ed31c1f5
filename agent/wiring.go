package agent

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"strings"
	"time"

	"duskloop/agent/mqtt"
	"duskloop/agent/wire"
)

// wiring is the daemon's way to its broker: its own, another's, or none.
type wiring struct {
	d      *parts
	broker *mqtt.Broker // nil unless embedded
	feed   *mqtt.Feed   // nil where nothing is sent
}

// simulatedPrefix begins the topics of a simulated run, so that no subscriber
// can take them for a real greenhouse's.
const simulatedPrefix = mqtt.DefaultPrefix + "/simulated"

// openWire starts the embedded broker if that is wanted, and prepares the feed.
// Without a record there is nothing to send.
func openWire(d *parts) (*wiring, error) {
	w := &wiring{d: d}
	b := d.File.Broker
	if b.Address == "none" || d.record == nil {
		return w, nil
	}
	o := mqtt.Options{Address: string(b.Address), User: string(b.User), Simulated: d.Simulated, Log: d.Log, Now: d.now, Backlog: int(d.File.Record.Backlog)}
	if d.Simulated {
		o.Prefix = simulatedPrefix
	}
	if b.Address == "embedded" {
		var err error
		if w.broker, err = mqtt.StartBroker(int(b.Port)); err != nil {
			return w, fmt.Errorf("starting the embedded broker: %w", err)
		}
		o.Address = w.broker.Address()
	}
	var err error
	if o.Password, err = secret(string(b.PasswordFile)); err != nil {
		return w, err
	}
	if o.TLS, err = encryption(b); err != nil {
		return w, err
	}
	w.feed, err = mqtt.New(d.record, o)
	return w, err
}

// now is the loop's time; messages begin only after the loop has been made.
func (d *parts) now() time.Time { return d.loop.Clock.Now() }

// secret reads a password from a file that nobody but its owner and group may
// read.
func secret(path string) (string, error) {
	if path == "" {
		return "", nil
	}
	info, err := os.Stat(path)
	if err != nil {
		return "", fmt.Errorf("%w: password file: %w", ErrConfig, err)
	}
	if info.Mode().Perm()&0o007 != 0 {
		return "", fmt.Errorf("%w: password file %s can be read by everybody; chmod o= it", ErrConfig, path)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return "", fmt.Errorf("%w: password file: %w", ErrConfig, err)
	}
	return strings.TrimRight(string(text), "\r\n"), nil
}

// failing says whether messages cannot be sent.
func (w *wiring) failing() bool { return w.feed != nil && w.feed.Failing() }

// start begins to send, and to take commands and forecasts for the loop.
func (w *wiring) start(l *Loop) error {
	if w.feed == nil {
		return nil
	}
	return w.feed.Start(mqtt.Line{Name: w.d.File.Loop().Name, Submit: l.Submit, Foretell: l.Foretell})
}

// stop sends what the record still holds, says offline, and ends the broker.
func (w *wiring) stop(ctx context.Context) error {
	var errs []error
	if w.feed != nil {
		errs = append(errs, w.feed.Stop(ctx))
	}
	if w.broker != nil {
		linger(ctx)
		errs = append(errs, w.broker.Close())
	}
	return errors.Join(errs...)
}

// lingerFor is how long the embedded broker stays up after "offline" was given to
// it, so that its subscribers get the message, and it takes the feed's goodbye for
// one, before their connections close. The broker's library offers nothing to wait
// for; on loopback a few milliseconds are needed.
const lingerFor = 300 * time.Millisecond

func linger(ctx context.Context) { _ = sleep(ctx, lingerFor) }

// heartbeat tells that a full cycle went well.
func (w *wiring) heartbeat(h wire.Head, cycle int64) {
	if w.feed != nil {
		w.feed.Beat(wire.Heartbeat{Head: h, Cycle: cycle})
	}
}

// greet says how to watch the messages.
func (w *wiring) greet(out io.Writer) {
	if w.feed == nil {
		return
	}
	if w.broker == nil {
		fmt.Fprintf(out, "messages go to %s\n", w.d.File.Broker.Address)
		return
	}
	if w.broker.Taken() {
		fmt.Fprintf(out, "%sport %v is taken; the embedded broker uses the next free one\n", w.d.mark(), w.d.File.Broker.Port)
	}
	host, port, _ := net.SplitHostPort(w.broker.Address())
	what := ""
	if w.d.Simulated {
		what = "simulated "
	}
	fmt.Fprintf(out, "watch every "+what+"message in another terminal:\nmosquitto_sub -h %s -p %s -t 'duskloop/#' -v\n", host, port)
}
