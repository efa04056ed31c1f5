package agent

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"time"

	"duskloop/agent/wire"
)

// socketName is the daemon's local socket in its state folder. Who may use it
// is who may enter the folder.
const socketName = "duskloop.sock"

const (
	longestAsk  = 4096
	askDeadline = 5 * time.Second
	// previewDeadline is a preview's: of seven nights on the slowest board meant, where it is
	// taken to need a minute or two (BenchmarkPreviewOfSevenNights).
	previewDeadline = 4 * time.Minute
)

// submit is what takes a command: Loop.Submit.
type submit func(ctx context.Context, data []byte, who string) (wire.Answer, error)

// listen opens the socket; a stale one of a process that died is replaced. The
// caller holds the folder's lock, so nobody else is serving it.
func listen(dir string) (net.Listener, error) {
	path := filepath.Join(dir, socketName)
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		return nil, fmt.Errorf("removing stale socket: %w", err)
	}
	l, err := net.Listen("unix", path)
	if err != nil {
		return nil, fmt.Errorf("opening local socket: %w", err)
	}
	if err := os.Chmod(path, 0o660); err != nil {
		return nil, errors.Join(fmt.Errorf("protecting local socket: %w", err), l.Close())
	}
	return l, nil
}

// serve answers one command a connection until ctx ends.
func serve(ctx context.Context, l net.Listener, take submit, log *slog.Logger) {
	stop := context.AfterFunc(ctx, func() { _ = l.Close() })
	defer stop()
	for {
		c, err := l.Accept()
		if err != nil {
			if ctx.Err() == nil {
				log.Error("local socket", "error", err)
			}
			return
		}
		go answer(ctx, c, take)
	}
}

func answer(whole context.Context, c net.Conn, take submit) {
	defer c.Close()
	ctx, cancel := context.WithTimeout(whole, askDeadline)
	defer cancel()
	_ = c.SetDeadline(time.Now().Add(askDeadline))
	line, err := bufio.NewReader(io.LimitReader(c, longestAsk+1)).ReadBytes('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return
	}
	if asksLong(line) {
		cancel()
		ctx, cancel = context.WithTimeout(whole, previewDeadline)
		defer cancel()
		_ = c.SetDeadline(time.Now().Add(previewDeadline))
	}
	a, err := take(ctx, line, "command line")
	if err != nil {
		a.Reason = err.Error()
	}
	_ = json.NewEncoder(c).Encode(a) // a client that went away needs no answer
}

// asksLong says that a line asks for a preview, which may take longer than anything else.
func asksLong(line []byte) bool {
	c, err := wire.ParseCommand(line)
	return err == nil && c.Previews()
}

// ErrNoDaemon says that nobody could be asked.
var ErrNoDaemon = errors.New("no daemon answers")

// Ask sends one command to the daemon that serves the state folder.
func Ask(ctx context.Context, dir string, c wire.Command) (wire.Answer, error) {
	if c.Previews() {
		return askFor(ctx, dir, c, previewDeadline+askDeadline)
	}
	return askFor(ctx, dir, c, 2*askDeadline)
}

// askFor sends anything that is asked for as JSON.
func askFor(ctx context.Context, dir string, c any, within time.Duration) (wire.Answer, error) {
	var (
		a wire.Answer
		d net.Dialer
	)
	conn, err := d.DialContext(ctx, "unix", filepath.Join(dir, socketName))
	if err != nil {
		return a, fmt.Errorf("%w: %w", ErrNoDaemon, err)
	}
	defer conn.Close()
	_ = conn.SetDeadline(time.Now().Add(within))
	if err := json.NewEncoder(conn).Encode(c); err != nil {
		return a, fmt.Errorf("asking the daemon: %w", err)
	}
	if err := json.NewDecoder(conn).Decode(&a); err != nil {
		return a, fmt.Errorf("the daemon's answer: %w", err)
	}
	return a, nil
}
