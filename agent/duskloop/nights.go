package main

import (
	"encoding/json"
	"fmt"
	"time"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/agent/nightly"
	"duskloop/agent/record"
)

type nightsCommand struct {
	recorded
	Last *int   `help:"So many nights, the newest last; seven without it." placeholder:"N" xor:"which"`
	From string `help:"First night in place of those, as 2026-01-15: it begins at noon of that day." placeholder:"DAY" xor:"which"`
	To   string `help:"With --from: up to, but not including." placeholder:"DAY"`
	JSON bool   `help:"Print JSON." name:"json" xor:"form"`
	CSV  bool   `help:"Print CSV." name:"csv" xor:"form"`
	SVG  string `help:"Draw the nights too, seven in a picture: into this file, or as many files as it takes into this folder." name:"svg" placeholder:"FILE"`
}

// mostNights are told at once: a record holds no more.
const mostNights = 3660

// Run sums up nights of the record.
func (c *nightsCommand) Run(s *session) error {
	f, r, e, err := c.open(s)
	if err != nil {
		return err
	}
	defer r.Close()
	return c.tell(s, c.told(f, r, e), e)
}

// tell prints the nights, and draws them.
func (c *nightsCommand) tell(s *session, t *agent.ToldNights, e record.Extent) error {
	first, count, err := c.which(t.Zone, e)
	if err != nil {
		return err
	}
	draw, err := c.draw(t, first, count)
	if err != nil {
		return err
	}
	defer draw.drop()
	all, err := t.Tell(s, first, count)
	if err != nil {
		return err
	}
	if err := draw.finish(all); err != nil {
		return err
	}
	return c.print(s, all, nightly.Printer{Units: t.File.Site.Units, Zone: t.Zone})
}

// told is what the nights are summed up by.
func (c *nightsCommand) told(f *config.File, r *record.Reader, e record.Extent) *agent.ToldNights {
	t := &agent.ToldNights{File: f, Loop: e.Loop, Past: r, Zone: time.Local, Now: time.Now(), Usual: e.Period}
	if t.Usual == 0 {
		t.Usual = f.Daemon.Period.Duration()
	}
	if c.Simulated { // its clock is its own
		t.Zone, t.Now = agent.SunZone(f), e.Last.Add(t.Usual)
	}
	return t
}

// which is the noon at which the first night begins, and how many there are.
func (c *nightsCommand) which(zone *time.Location, e record.Extent) (first time.Time, count int, err error) {
	if c.From == "" {
		if c.To != "" {
			return first, 0, misuse("--to goes with --from")
		}
		return c.last(agent.NoonBefore(e.Last, zone), e.First)
	}
	if first, err = noonOf(c.From, zone); err != nil {
		return first, 0, named("--from", err)
	}
	end := agent.NoonBefore(e.Last, zone).AddDate(0, 0, 1)
	if c.To != "" {
		if end, err = noonOf(c.To, zone); err != nil {
			return first, 0, named("--to", err)
		}
	}
	for noon := first; noon.Before(end) && count <= mostNights; count++ {
		noon = first.AddDate(0, 0, count+1)
	}
	if count < 1 || count > mostNights {
		return first, 0, misuse("--from %s: that is not 1 to %d nights", c.From, mostNights)
	}
	return first, count, nil
}

// last are the last so many nights, as far as there is a record.
func (c *nightsCommand) last(newest, oldest time.Time) (first time.Time, count int, err error) {
	most := aWeek
	if c.Last != nil {
		most = *c.Last
	}
	if most < 1 || most > mostNights {
		return first, 0, misuse("--last is 1 to %d nights, not %d", mostNights, most)
	}
	for first, count = newest, 1; count < most && first.After(oldest); count++ {
		first = newest.AddDate(0, 0, -count)
	}
	return first, count, nil
}

// noonOf a day in a zone.
func noonOf(day string, zone *time.Location) (time.Time, error) {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return t, fmt.Errorf("write the day as 2026-01-15, not %q", day)
	}
	return time.Date(t.Year(), t.Month(), t.Day(), 12, 0, 0, 0, zone), nil
}

func (c *nightsCommand) print(s *session, all []nightly.Night, p nightly.Printer) error {
	switch {
	case c.JSON:
		e := json.NewEncoder(s.out)
		e.SetIndent("", "  ")
		return e.Encode(all)
	case c.CSV:
		return nightly.CSV(s.out, all)
	}
	if err := p.Print(s.out, all); err != nil {
		return err
	}
	fmt.Fprintln(s.out)
	printParagraphs(s.out, p.Below(all))
	return nil
}
