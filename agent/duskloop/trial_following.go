package main

import (
	"context"
	"errors"
	"io"
	"time"

	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

// follower keeps a run on the bench from a daemon's readings, by the grower's words.
type follower struct {
	ask         func(context.Context) (wire.Answer, error)
	ticks       <-chan time.Time // when to ask
	words       <-chan string    // heat, off, stop; closed where none can come
	liquid, air string           // places
	steady      bool             // the heater is not on the panel
	units       quantity.Units
	out         io.Writer

	file     *runKept
	on       bool        // at the newest reading
	newest   *runRow     // kept when the next one tells how long the heater was on
	switches []switching // since the newest reading
	now      time.Time   // of the daemon's last answer
	mute     bool        // it has just not answered
	told     time.Time   // as last shown
	lost     string      // why no reading comes; empty while they come
	warns    int         // how many of hotLiquid were said
}

// switching is a moment at which the heater went on or off, by the daemon's clock.
type switching struct {
	at time.Time
	on bool
}

// begin asks once, opens the file and says what to mind. It returns the daemon's period.
func (f *follower) begin(ctx context.Context, path string, overwrite bool) (time.Duration, error) {
	a, err := f.ask(ctx)
	if err != nil {
		return 0, err
	}
	if a.Readings == nil {
		return 0, errors.New("the daemon tells no readings; it may be an older one")
	}
	for _, place := range []string{f.liquid, f.air} {
		if _, ok := placed(a.Readings, place); !ok {
			return 0, misuse("no probe at %s in the greenhouse file: name another place with --liquid or --air", place)
		}
	}
	volts := !f.steady && a.Readings.Panel != nil
	if f.file, err = keepRun(path, overwrite, volts, a.Simulated); err != nil {
		return 0, err
	}
	f.greet(path, a.Simulated)
	return time.Duration(a.Readings.PeriodS * float64(time.Second)), f.take(a)
}

// follow asks and listens until the grower says stop or the context ends. The error is the
// file's.
func (f *follower) follow(ctx context.Context) error {
	for {
		select {
		case <-ctx.Done():
			f.say("Ended. Switch the heater off.")
			return f.end()
		case <-f.ticks:
			if err := f.look(ctx); err != nil {
				return err
			}
		case word, ok := <-f.words:
			switch {
			case !ok:
				f.words = nil
				f.say("No more words can come from here; Ctrl-C ends the run.")
			case word != "":
				if err := f.look(ctx); err != nil {
					return err
				}
				if f.hear(word) {
					return f.end()
				}
			}
		}
	}
}

// look asks and keeps what is new. A daemon that does not answer leaves a gap.
func (f *follower) look(ctx context.Context) error {
	a, err := f.ask(ctx)
	if ctx.Err() != nil {
		return nil
	}
	if err == nil && a.Readings == nil {
		err = errors.New("the daemon tells no readings")
	}
	if f.mute = err != nil; f.mute {
		f.gap(err.Error())
		return nil
	}
	return f.take(a)
}

// take keeps a reading that is new and whole.
func (f *follower) take(a wire.Answer) error {
	f.now = a.Time
	row, why := f.row(a)
	if why != "" {
		f.gap(why)
		return nil
	}
	if f.newest != nil && !row.at.After(f.newest.at) {
		return nil
	}
	if f.lost != "" && f.newest != nil {
		f.say("Readings are back, after %s without.", quantity.Span(row.at.Sub(f.newest.at).Round(time.Second)))
	}
	f.lost = ""
	if err := f.keepNewest(row.at); err != nil {
		return err
	}
	f.newest = &row
	f.show(row)
	return nil
}

// end keeps the last reading and closes the file.
func (f *follower) end() error {
	if f.newest != nil {
		if f.newest.on = 0; f.on {
			f.newest.on = 1
		}
		if err := f.file.keep(*f.newest); err != nil {
			return err
		}
	}
	return f.file.Close()
}

// gap says once why nothing is kept.
func (f *follower) gap(why string) {
	if f.lost != why {
		f.say("No reading is kept: %s. The gap stays empty; nothing is made up.", why)
	}
	f.lost = why
}
