package mqtt

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"duskloop/agent/record"
	"duskloop/agent/wire"
)

const (
	waiting  = 16   // commands in the queue; more are refused
	longest  = 4097 // one byte more than a command may have, so that its length is still refused
	answerIn = 30 * time.Second
	lookIn   = 4 * time.Minute // a preview of seven nights, on the slowest board meant
	way      = "mqtt"          // what the record says of who gave a command, unless the command says more
)

// intake takes commands from the client's goroutine, which must not wait, to
// one of its own, which may.
type intake struct {
	feed    *Feed
	queue   chan command
	heard   chan command    // forecasts: a queue of their own, so that they crowd no command out
	doubted map[string]bool // loops whose latest forecast was refused; the run goroutine's own
	refused atomic.Int64
	looking chan struct{} // holds a value while a preview is worked out
	ctx     context.Context
	cancel  context.CancelFunc
	wg      sync.WaitGroup
}

type command struct {
	line     Line
	data     []byte
	retained bool
}

func newIntake(f *Feed) *intake {
	in := &intake{feed: f, queue: make(chan command, waiting), heard: make(chan command, 1), doubted: make(map[string]bool), looking: make(chan struct{}, 1)}
	in.ctx, in.cancel = context.WithCancel(context.Background())
	return in
}

func (in *intake) start() { in.wg.Go(in.run) }

func (in *intake) stop() {
	in.cancel()
	in.wg.Wait()
}

// take puts a command in the queue, or counts it when that is full.
func (in *intake) take(line Line, payload []byte, retained bool) {
	data := append([]byte(nil), payload[:min(len(payload), longest)]...)
	select {
	case in.queue <- command{line, data, retained}:
	default:
		in.refused.Add(1)
	}
}

func (in *intake) run() {
	for {
		select {
		case <-in.ctx.Done():
			return
		case c := <-in.queue:
			in.obey(c)
		case c := <-in.heard:
			in.foretell(c)
		}
		if n := in.refused.Load(); n > 0 && len(in.queue) == 0 {
			in.refused.Add(-n)
			in.feed.note("commands-refused", fmt.Sprintf("%d commands refused: more than %d came at once", n, waiting), n)
		}
	}
}

// obey hands one command to its loop. The loop records its answer, and what is
// recorded is sent; only an answer that the loop could not give, or does not
// record, is seen to here.
func (in *intake) obey(c command) {
	if c.retained {
		in.refuse(c, "retained commands are not obeyed: they would come again at each connection; send it without retain, and clear the retained one")
		return
	}
	parsed, err := wire.ParseCommand(c.data)
	switch {
	case err == nil && parsed.Previews():
		in.preview(c, parsed)
	case err == nil && parsed.Asks():
		in.ask(c, parsed, answerIn)
	default:
		in.give(c)
	}
}

// give hands a command that is recorded, or refused and recorded.
func (in *intake) give(c command) {
	ctx, cancel := context.WithTimeout(in.ctx, answerIn)
	defer cancel()
	if _, err := c.line.Submit(ctx, c.data, way); err != nil {
		in.refuse(c, err.Error())
	}
}

// preview asks on a goroutine of its own, since it may take long: a command that comes
// after it must not wait. One at a time.
func (in *intake) preview(c command, parsed wire.Command) {
	select {
	case in.looking <- struct{}{}:
		in.wg.Go(func() {
			defer func() { <-in.looking }()
			in.ask(c, parsed, lookIn)
		})
	default:
		in.say(wire.Answer{Head: in.feed.head(c.line.Name), ID: parsed.ID, Reason: "another preview is being worked out; ask again in a moment"})
	}
}

// ask hands a command that only asks. Whatever comes of it is said, and not recorded.
func (in *intake) ask(c command, parsed wire.Command, within time.Duration) {
	ctx, cancel := context.WithTimeout(in.ctx, within)
	defer cancel()
	a, err := c.line.Submit(ctx, c.data, way)
	if err != nil {
		a = wire.Answer{Head: in.feed.head(c.line.Name), ID: parsed.ID, Reason: err.Error()}
	}
	in.say(a)
}

// say sends an answer that is not recorded; where nobody is connected, whoever asked will
// ask again.
func (in *intake) say(a wire.Answer) {
	select {
	case in.feed.answers <- a:
	default:
	}
}

func (in *intake) refuse(c command, reason string) {
	parsed, _ := wire.ParseCommand(c.data) // for its id; whether it would be right does not matter
	a := wire.Answer{Head: in.feed.head(c.line.Name), ID: parsed.ID, Reason: reason}
	in.feed.rec.Append(nil, record.Event{At: a.Time, Loop: a.Loop, Simulated: a.Simulated,
		Kind: record.KindAnswer, Code: "refused", Body: encode(a)})
}
