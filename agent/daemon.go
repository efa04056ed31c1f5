package agent

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"sync"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/metrics"
	"duskloop/agent/phone"
	"duskloop/agent/record"
	"duskloop/sim/plant"
)

// RecordName is the record's file in its folder.
const RecordName = "record.db"

// Folder is where record, lock and socket are: the demo's apart from the real
// ones, so that neither can be taken for the other.
func Folder(state string, simulated bool) string {
	if simulated {
		return filepath.Join(state, "simulated")
	}
	return state
}

// Options are how the daemon is started.
type Options struct {
	File      *config.File
	Simulated bool    // the greenhouse is simulated; real outputs are never opened
	Speed     float64 // of a simulated greenhouse against real time
	State     string  // folder
	Log       *slog.Logger
	Out       io.Writer // what a person at the terminal reads
	Width     int       // of the terminal that Out is; 0 if it is none
	Open      func() (Hardware, error)
}

// parts is what the daemon is made of while they run.
type parts struct {
	Options
	dir     string
	record  *record.Record // nil where none could be opened at all
	memory  Recorder
	spare   string // folder of a record for this run only
	wire    *wiring
	phone   *phone.Teller   // nil where nobody is told
	metrics *metrics.Server // nil where none are served
	page    *paged          // nil where none is served
	looks   *previews
	loop    *Loop
	bench   *Bench // nil when simulated
	green   *Greenhouse
	hw      Hardware
	socket  net.Listener
}

// stopWithin is how long an orderly end may take, all in all.
const stopWithin = 4 * time.Second

// Run runs the daemon until ctx ends, then brings it to an orderly end: outputs
// inert, record flushed, "offline" published.
func Run(ctx context.Context, o Options) error {
	d := &parts{Options: o, dir: Folder(o.State, o.Simulated)}
	locked, err := lock(d.dir)
	if errors.Is(err, errRunning) {
		return err
	}
	if err != nil { // a card gone read-only must not stop control
		d.Log.Error("running without the state folder's lock", "error", err)
	}
	defer locked.Close()
	if err := d.open(); err != nil {
		return errors.Join(err, d.close())
	}
	d.run(ctx)
	return d.close()
}

// open makes every part, the outputs first, so that they are inert before
// anything slow is tried.
func (d *parts) open() error {
	if err := d.openGreenhouse(); err != nil {
		return err
	}
	d.openRecord()
	d.looks = newPreviews(d)
	var err error
	if d.wire, err = openWire(d); errors.Is(err, ErrConfig) {
		return err
	}
	if err != nil { // a taken port or a damaged record must not stop the pump
		d.Log.Error("running without messages", "error", err)
		d.wire.feed = nil
	}
	if d.phone, err = openPhone(d); errors.Is(err, ErrConfig) {
		return err
	}
	if err != nil {
		d.Log.Error("running without the phone", "error", err)
	}
	if d.metrics, err = openMetrics(d); err != nil { // a taken port must not stop the pump
		d.Log.Error("running without metrics", "error", err)
	}
	if d.page, err = openPage(d); err != nil { // neither must a taken port or a damaged password
		d.Log.Error("running without the page", "error", err)
	}
	if d.loop, err = NewLoop(d.setup()); err != nil {
		return err
	}
	if d.socket, err = listen(d.dir); err != nil {
		d.Log.Error("running without the local socket", "error", err)
	}
	return nil
}

// openGreenhouse opens the real bench, or builds the simulated one.
func (d *parts) openGreenhouse() error {
	if d.Simulated {
		return nil // built in setup, when the record has said where time stands
	}
	var err error
	if d.hw, err = d.Open(); err != nil {
		return err
	}
	// A line that cannot be had may be a driver that comes later at boot, so it is
	// a fault of running: the service tries again.
	if d.bench, err = OpenBench(d.File, d.hw); err != nil {
		return err
	}
	if err := keepLines(d.dir, d.File); err != nil {
		d.Log.Error("the lines cannot be found again without the greenhouse file", "error", err)
	}
	return nil
}

// setup is the loop's own parts.
func (d *parts) setup() Setup {
	s := Setup{
		File: d.File, Record: d.memory, Log: d.Log, Simulated: d.Simulated,
		BrokerFails: d.wire.failing, After: d.after(), Previews: d.looks,
	}
	if d.Simulated {
		d.simulate(&s)
		return s
	}
	s.Clock, s.Sight, s.Hands = realClock{}, d.bench, d.bench
	s.Trusted = func() bool { return clockTrusted(string(d.File.Daemon.SysRoot)) }
	s.Down, s.DownKnown = d.down()
	if d.record != nil && !d.record.Latest().IsZero() && d.spare == "" {
		s.Past = pastOf(filepath.Join(d.dir, RecordName), d.record.Latest())
	}
	return s
}

// simulate begins the demo at a winter dusk, after everything that its record
// already holds.
func (d *parts) simulate(s *Setup) {
	var latest time.Time
	if d.record != nil {
		latest = d.record.Latest()
	}
	start := DemoStart(d.File, latest).Add(demoLate)
	g, err := NewGreenhouse(d.File, start, plant.Evening(), demoSeed)
	if err != nil {
		panic(fmt.Sprintf("the demo's own greenhouse: %v", err)) // a programmer's error; a test builds it
	}
	d.green = g
	s.Clock, s.Sight, s.Hands = newFastClock(start, d.Speed), g, g
	s.Trusted = func() bool { return true }
}

// demoLate is how long after dusk the demo begins: where a plan that saves heat begins to
// spend it, so that nobody waits long for it.
const demoLate = 5 * time.Hour

// demoSeed gives the demo its weather: a clear first night and day.
const demoSeed = 1

// down is how long the daemon was away, if the clocks can tell.
func (d *parts) down() (time.Duration, bool) {
	if d.record == nil || d.record.Latest().IsZero() || !clockTrusted(string(d.File.Daemon.SysRoot)) {
		return 0, false
	}
	away := time.Since(d.record.Latest())
	return away, away >= 0
}

// run runs every part until ctx ends, and waits for all but the wire, which
// still has to say what the others did last.
func (d *parts) run(ctx context.Context) {
	var parts sync.WaitGroup
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	if d.bench != nil {
		parts.Go(func() { d.bench.Run(ctx) })
	}
	if d.socket != nil {
		parts.Go(func() { serve(ctx, d.socket, d.fromSocket, d.Log) })
	}
	if d.phone != nil {
		parts.Go(func() { d.phone.Run(ctx) })
	}
	if d.metrics != nil {
		parts.Go(func() { d.showMetrics(ctx) })
	}
	if d.page != nil {
		parts.Go(func() { d.page.serve(ctx, d) })
	}
	if err := d.wire.start(d.loop); err != nil {
		d.Log.Error("running without messages", "error", err)
	}
	d.greet()
	notifyReady()
	if err := d.loop.Run(ctx); err != nil {
		d.Log.Error("loop ended", "error", err)
	}
	notifyStopping()
	stop()
	parts.Wait()
}

// close ends what is open, in the order that loses nothing: the wire sends what
// the record has, then the record is flushed.
func (d *parts) close() error {
	ctx, cancel := context.WithTimeout(context.Background(), stopWithin)
	defer cancel()
	var errs []error
	if d.socket != nil {
		if err := d.socket.Close(); !errors.Is(err, net.ErrClosed) {
			errs = append(errs, err)
		}
	}
	if d.metrics != nil {
		_ = d.metrics.Close() // it has ended, or was never begun
	}
	if d.page != nil {
		_ = d.page.listen.Close() // likewise
	}
	if d.wire != nil {
		if err := d.wire.stop(ctx); err != nil { // no fault: the rest is sent after the next start
			d.Log.Warn("messages left for the next start", "error", err)
		}
	}
	if d.record != nil {
		errs = append(errs, d.record.Close())
	}
	if d.spare != "" {
		errs = append(errs, os.RemoveAll(d.spare))
	}
	if d.bench != nil {
		errs = append(errs, d.bench.Rest())
	}
	if d.hw != nil {
		errs = append(errs, d.hw.Close())
	}
	return errors.Join(errs...)
}
