package mqtt

import (
	"crypto/rand"
	"fmt"
	"strconv"
	"sync/atomic"
)

// Names under which the record keeps what must outlive the process.
const (
	keptEvents   = "mqtt/events"
	keptReadings = "mqtt/readings"
	keptClient   = "mqtt/client"
)

// cursors are the numbers of the last rows acknowledged. The run goroutine alone
// moves them.
type cursors struct {
	events, readings         atomic.Int64
	keptEvents, keptReadings int64
}

func restoreCursors(rec Recorder) (*cursors, error) {
	lastReading, lastEvent := rec.Ends()
	events, err := restore(rec, keptEvents, lastEvent)
	if err != nil {
		return nil, err
	}
	readings, err := restore(rec, keptReadings, lastReading)
	if err != nil {
		return nil, err
	}
	c := &cursors{keptEvents: events, keptReadings: readings}
	c.events.Store(events)
	c.readings.Store(readings)
	return c, nil
}

func restore(rec Recorder, name string, end int64) (int64, error) {
	text, err := rec.Kept(name)
	if err != nil || text == "" {
		return 0, err
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 0 {
		return 0, fmt.Errorf("record keeps %q as %s, not a number of a row", text, name)
	}
	return min(n, end), nil
}

// left counts the rows of the record not acknowledged yet.
func (c *cursors) left(rec Recorder) int64 {
	readings, events := rec.Ends()
	return readings - c.readings.Load() + events - c.events.Load()
}

// keep stores the cursors where they moved. The cursor over readings stays at
// or below the last committed reading: a number above it is given anew after a
// crash, and the reading that then has it must be sent too. An event that was
// sent is committed in the same transaction as the cursor, or before.
func (c *cursors) keep(rec Recorder) {
	if n := c.events.Load(); n > c.keptEvents {
		rec.Keep(keptEvents, strconv.FormatInt(n, 10))
		c.keptEvents = n
	}
	if n := min(c.readings.Load(), rec.Committed()); n > c.keptReadings {
		rec.Keep(keptReadings, strconv.FormatInt(n, 10))
		c.keptReadings = n
	}
}

// trim passes over the oldest rows beyond the bounds, counts them and records
// that. slack is how far over the bound it may be: while connected, small
// overruns are caught up with and not worth an event each.
func (f *Feed) trim(slack int64) {
	lastReading, lastEvent := f.rec.Ends()
	if over := lastEvent - f.cursors.events.Load() - int64(f.opts.Events); over > 0 {
		f.cursors.events.Add(over)
		f.note("events-dropped", fmt.Sprintf("%d oldest events not sent: the broker was away for more than %d", over, f.opts.Events), over)
	}
	if over := lastReading - f.cursors.readings.Load() - int64(f.opts.Backlog); over > slack {
		f.cursors.readings.Add(over)
		f.note("readings-dropped", fmt.Sprintf("%d oldest readings not sent: the broker was away for more than %d", over, f.opts.Backlog), over)
	}
	f.cursors.keep(f.rec)
}

// over says whether more readings wait than the backlog and the slack.
func (f *Feed) over(slack int64) bool {
	last, _ := f.rec.Ends()
	return last-f.cursors.readings.Load() > int64(f.opts.Backlog)+slack
}

// missing notices readings that the record no longer holds.
func (f *Feed) missing(first int64) {
	gone := first - f.cursors.readings.Load() - 1
	if gone <= 0 {
		return
	}
	f.cursors.readings.Store(first - 1)
	f.note("readings-dropped", fmt.Sprintf("%d readings not sent: the record no longer holds them", gone), gone)
}

// clientID is the one asked for, or one made at the first start. It must stay
// the same: a broker that has not noticed yet that the old connection is dead
// then ends it, will and all, before the new one says online.
func clientID(rec Recorder, asked string) (string, error) {
	if asked != "" {
		return asked, nil
	}
	id, err := rec.Kept(keptClient)
	if err != nil || id != "" {
		return id, err
	}
	id = "duskloop-" + rand.Text()[:10] // 19 letters; any broker takes 23
	rec.Keep(keptClient, id)
	return id, nil
}
