package mqtt

import (
	"time"

	"duskloop/agent/record"
	"duskloop/agent/wire"
)

// run connects, serves, and connects again until stopped.
func (f *Feed) run() {
	defer close(f.done)
	wait := f.opts.Retry
	for {
		began := time.Now()
		err := f.attempt()
		if f.isStopping() {
			return
		}
		f.fail(err)
		if time.Since(began) > 32*f.opts.Retry {
			wait = f.opts.Retry // it had held for a while
		}
		select {
		case <-f.stopping:
			return
		case <-time.After(wait):
		}
		wait = min(2*wait, 32*f.opts.Retry)
	}
}

// attempt is one connection from its beginning to its end.
func (f *Feed) attempt() error {
	s, err := f.connect()
	if err != nil {
		return err
	}
	defer s.close()
	return f.serve(s)
}

func (f *Feed) isStopping() bool {
	select {
	case <-f.stopping:
		return true
	default:
		return false
	}
}

func (f *Feed) fail(err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.down.IsZero() {
		f.down = time.Now()
		f.opts.Log.Warn("broker lost; readings and events wait in the record", "error", err)
	}
	f.err = err
}

func (f *Feed) up() {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.opts.Log.Info("broker connected", "address", f.opts.Address)
	f.down, f.err = time.Time{}, nil
}

// note records an event of the daemon itself, which is then sent like any other.
func (f *Feed) note(what, text string, count int64) {
	doc := wire.Daemon{Head: f.head(f.firstLoop()), What: what, Count: count, Text: text}
	f.rec.Append(nil, record.Event{At: doc.Time, Loop: doc.Loop, Simulated: doc.Simulated,
		Kind: record.KindDaemon, Code: what, Body: encode(doc)})
	f.opts.Log.Warn(text, "what", what, "count", count)
}

func (f *Feed) head(loop string) wire.Head {
	return wire.Head{Time: f.now(), Loop: loop, Simulated: f.opts.Simulated}
}

func (f *Feed) now() time.Time { return f.opts.Now().UTC().Round(time.Millisecond) }

func (f *Feed) firstLoop() string {
	if len(f.lines) == 0 {
		return ""
	}
	return f.lines[0].Name
}
