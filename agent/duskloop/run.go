package main

import (
	"errors"
	"fmt"
	"log/slog"
	"os"

	"golang.org/x/term"

	"duskloop/agent"
	"duskloop/agent/config"
)

type runCommand struct {
	greenhouseFile
	Speed float64 `help:"Times real time, for the demo only." default:"60"`
	Log   string  `help:"How much is logged to standard error: error, warn, info or debug or off. The demo is off by default." enum:"error,warn,info,debug,off," default:""`
}

// Run runs the daemon: the demo without a file, the real greenhouse with one.
// A file that cannot be used never falls back to the demo: the outputs of the
// last good start are brought to rest, and the fault is said.
func (c *runCommand) Run(s *session) error {
	f, err := c.given()
	if err != nil {
		restErr := agent.Rest(nil, agent.Folder(s.state, false), openBoard)
		if restErr == nil {
			fmt.Fprintln(s.err, "duskloop: outputs of the last start brought to rest")
		}
		return errors.Join(err, note(restErr))
	}
	o := agent.Options{File: f, State: s.state, Out: s.out, Width: width(s), Open: openBoard}
	level := "info"
	if f == nil {
		if !(c.Speed > 0 && c.Speed <= 10000) {
			return misuse("--speed is more than 0 and at most 10000, not %g", c.Speed)
		}
		o.File, o.Simulated, o.Speed, level = config.Demo(), true, c.Speed, "off"
	}
	if c.Log != "" {
		level = c.Log
	}
	o.Log = logger(s, level)
	if o.Simulated {
		o.Log = o.Log.With("simulated", true)
	}
	return agent.Run(s, o)
}

// note says why outputs could not be brought to rest; at a first start there is
// nothing to bring to rest, and that is no fault.
func note(err error) error {
	if err == nil || errors.Is(err, os.ErrNotExist) {
		return nil
	}
	return fmt.Errorf("outputs not brought to rest: %w", err)
}

// width is that of the terminal standard output is, or 0.
func width(s *session) int {
	f, ok := s.out.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return 0
	}
	w, _, err := term.GetSize(int(f.Fd()))
	if err != nil || w <= 0 {
		return 80
	}
	return w
}

func logger(s *session, level string) *slog.Logger {
	if level == "off" {
		return slog.New(slog.DiscardHandler)
	}
	var l slog.Level
	_ = l.UnmarshalText([]byte(level)) // kong has checked the word
	return slog.New(slog.NewTextHandler(s.err, &slog.HandlerOptions{Level: l}))
}
