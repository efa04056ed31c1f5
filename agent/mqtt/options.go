package mqtt

import (
	"cmp"
	"context"
	"crypto/tls"
	"log/slog"
	"time"

	"duskloop/agent/record"
	"duskloop/agent/wire"
)

// Options say where to and how to send. Zero values mean the defaults.
type Options struct {
	Address  string // host:port
	User     string
	Password string
	TLS      *tls.Config // nil: unencrypted
	ClientID string      // default: made once and kept in the record
	Prefix   string      // of all topics; default "duskloop"

	Simulated bool
	Now       func() time.Time // the loop's clock; default the computer's
	Log       *slog.Logger     // default none

	Backlog int           // readings that wait for a broker that is away; default 60480
	Events  int           // events that wait likewise; default 100000
	Grace   time.Duration // not connected for longer is failing; default 30 s
	Retry   time.Duration // first wait before connecting again, doubled up to 32 times that; default 1 s
	Window  int           // messages in flight; default 32
	Ack     time.Duration // a message not acknowledged by then ends the connection; default 20 s
}

// Recorder is what the feed needs of the record; *record.Record has it.
type Recorder interface {
	ReadingsAfter(ctx context.Context, seq int64, n int) ([]record.Reading, error)
	EventsAfter(ctx context.Context, seq int64, n int) ([]record.Event, error)
	Ends() (reading, event int64)
	Committed() int64
	Watch() (<-chan struct{}, func())
	Append(*record.Reading, ...record.Event)
	Keep(name, value string)
	Kept(name string) (string, error)
}

// Line is one loop as the feed knows it.
type Line struct {
	Name string
	// Submit hands a command, as it came, to the loop and returns its answer.
	// who names the way it came. It may wait; the feed gives it a deadline.
	Submit func(ctx context.Context, data []byte, who string) (wire.Answer, error)
	// Foretell hands a forecast from outside, as it came, to the loop; the error says
	// why it is refused. It may wait. Nil: forecasts are not asked for.
	Foretell func(ctx context.Context, data []byte) error
	// Settings lists the settings that may be changed and their values. Nil: the
	// loop is asked through Submit.
	Settings func(ctx context.Context) ([]wire.Setting, error)
}

func (o Options) withDefaults() Options {
	o.Prefix = cmp.Or(o.Prefix, DefaultPrefix)
	o.Backlog = cmp.Or(o.Backlog, 60480) // a week of a reading every 10 s
	o.Events = cmp.Or(o.Events, 100000)
	o.Grace = cmp.Or(o.Grace, 30*time.Second)
	o.Retry = cmp.Or(o.Retry, time.Second)
	o.Window = cmp.Or(o.Window, 32)
	o.Ack = cmp.Or(o.Ack, 20*time.Second)
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	return o
}
