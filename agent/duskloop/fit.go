package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"time"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/agent/fitted"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/sim/fit"
)

type fitCommand struct {
	Nights int    `help:"So many of the last nights of the record." default:"14"`
	From   string `help:"First moment instead, as 2026-01-15 or 2026-01-15T18:00:00Z." placeholder:"TIME"`
	To     string `help:"Up to, but not including." placeholder:"TIME"`
	Write  string `help:"Write the fitted greenhouse into a file of its own too, as fitted.toml, for the greenhouse file's model.fitted to name." placeholder:"FILE"`
	JSON   bool   `help:"Print JSON." name:"json"`
	// Experiment asks and does not fit.
	Experiment bool `help:"Ask the running daemon for a forced test in the next night that has heat to spare: 30 min on, 60 min off. Then fit again."`
	recorded
}

// testWithin is for how long a forced test may wait for its night.
const testWithin = "36 h"

// The nights that a fit takes.
const (
	fewestFitted = 3
	mostFitted   = 200
)

// Run fits the greenhouse to its record and tells what came of it.
func (c *fitCommand) Run(s *session) error {
	if c.Nights < fewestFitted || c.Nights > mostFitted {
		return misuse("--nights is from %d to %d, not %d", fewestFitted, mostFitted, c.Nights)
	}
	if c.Experiment && c.Write != "" {
		return misuse("--experiment asks the daemon and fits nothing: leave --write for afterwards")
	}
	if c.Experiment {
		h := handCommand{Order: control.ForceTest.String(), For: testWithin, Simulated: c.Simulated}
		return h.Run(s)
	}
	if err := c.writable(); err != nil {
		return err
	}
	f, r, e, err := c.open(s)
	if err != nil {
		return err
	}
	defer r.Close()
	x := agent.Fitting{File: f, Simulated: c.Simulated, Made: time.Now()}
	if x.From, x.To, err = c.span(e); err != nil {
		return err
	}
	out, err := x.Fit(s, r)
	if errors.Is(err, fit.ErrTooLittle) {
		printLeft(s.out, out)
		return fmt.Errorf("no greenhouse could be fitted: %w", err)
	}
	if err != nil {
		return err
	}
	if c.JSON {
		err = printJSON(s.out, out.Greenhouse)
	} else {
		err = printFit(s.out, f, out)
	}
	if err != nil || c.Write == "" {
		return err
	}
	return c.write(s, f, out)
}

// span is the part of the record that is fitted.
func (c *fitCommand) span(e record.Extent) (from, to time.Time, err error) {
	to = e.Last.Add(time.Second)
	if c.To != "" {
		if to, err = moment(c.To); err != nil {
			return from, to, named("--to", err)
		}
	}
	from = to.AddDate(0, 0, -c.Nights)
	if c.From != "" {
		if from, err = moment(c.From); err != nil {
			return from, to, named("--from", err)
		}
	}
	return from, to, nil
}

// writable says before anything is fitted whether its file may be written: never over the
// greenhouse file, nor over anything else that no fit wrote.
func (c *fitCommand) writable() error {
	if c.Write == "" {
		return nil
	}
	if c.Greenhouse != nil {
		from, here := os.Stat(*c.Greenhouse)
		to, there := os.Stat(c.Write)
		if here == nil && there == nil && os.SameFile(from, to) {
			return misuse("--write: %s is your greenhouse file, which would be lost. The fit goes into a file of its own, as fitted.toml, which the greenhouse file then names", c.Write)
		}
	}
	if err := replaceable(c.Write, isFit); err != nil {
		return fmt.Errorf("--write: %w", err)
	}
	return nil
}

// write keeps the fit beside the greenhouse file, and says how to name it there.
func (c *fitCommand) write(s *session, f *config.File, out agent.Fitted) error {
	if !slices.ContainsFunc(out.Greenhouse.Figures, func(x fitted.Figure) bool { return x.Told }) {
		return errors.New("nothing is written: the record tells no figure")
	}
	data, err := out.Greenhouse.Encode()
	if err != nil {
		return err
	}
	file, err := replaceFor("--write", c.Write, isFit)
	if err != nil {
		return err
	}
	defer file.drop()
	if err := file.finish(func(w io.Writer) error { _, err := w.Write(data); return err }); err != nil {
		return err
	}
	fmt.Fprintf(s.err, "\nWritten to %s. For the daemon, the preview and tuning to go by it, the greenhouse file says\n\n[loop.%s.model]\nfitted = %q\n\nand the daemon is started again. (A relative name is looked for beside the greenhouse file.)\n",
		c.Write, f.Loop().Name, filepath.Base(c.Write))
	return nil
}
