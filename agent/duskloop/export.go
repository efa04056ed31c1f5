package main

import (
	"fmt"
	"time"
)

// The defaults of a time range: all there is.
const (
	anyFrom = "1970-01-01"
	anyTo   = "9999-12-31"
)

type exportCommand struct {
	From      string `help:"First moment, as 2026-01-15 or 2026-01-15T18:00:00Z." default:"1970-01-01"`
	To        string `help:"Up to, but not including." default:"9999-12-31"`
	Events    bool   `help:"Decisions, alerts and changes instead of readings."`
	Simulated bool   `help:"The demo's record instead of the real one."`
	SVG       string `help:"Draw the readings into this file instead." name:"svg" placeholder:"FILE"`
	greenhouseFile
}

// Run writes CSV, or draws.
func (c *exportCommand) Run(s *session) error {
	from, err := moment(c.From)
	if err != nil {
		return named("--from", err)
	}
	to, err := moment(c.To)
	if err != nil {
		return named("--to", err)
	}
	r, err := openRecord(s, c.Simulated)
	if err != nil {
		return err
	}
	defer r.Close()
	if c.SVG != "" {
		return c.picture(s, r, from, to)
	}
	write := r.Readings
	if c.Events {
		write = r.Events
	}
	n, err := write(s, s.out, from, to)
	if err == nil && n == 0 {
		fmt.Fprintln(s.err, "no rows in this time range")
	}
	return err
}

// moment reads a day (its beginning, in the computer's time zone) or a time.
func moment(text string) (time.Time, error) {
	if t, err := time.ParseInLocation(time.DateOnly, text, time.Local); err == nil {
		return t, nil
	}
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return t, fmt.Errorf("write 2026-01-15 or 2026-01-15T18:00:00Z, not %q", text)
	}
	return t, nil
}
