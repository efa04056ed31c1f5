package main

import (
	"fmt"
	"time"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/agent/record"
)

// picture draws the readings of a time range. The greenhouse file gives name, unit,
// minimum and the sun's place; the demo's record is drawn with the demo's.
func (c *exportCommand) picture(s *session, r *record.Reader, from, to time.Time) error {
	if c.Events {
		return misuse("--svg draws readings: leave --events out")
	}
	f, err := c.site()
	if err != nil {
		return err
	}
	file, err := replace(c.SVG)
	if err != nil {
		return err
	}
	defer file.drop()
	e, some, err := r.Extent(s, from, to)
	if err != nil {
		return err
	}
	if !some {
		return fmt.Errorf("--svg: no readings in this time range")
	}
	p, err := c.begin(f, e, from, to)
	if err != nil {
		return fmt.Errorf("--svg: %w", err)
	}
	if err := c.gather(s, r, p, e, from, to); err != nil {
		return err
	}
	return file.finish(p.Write)
}

// site is the greenhouse that the record is of, as far as it is known.
func (c *exportCommand) site() (*config.File, error) {
	if c.Simulated {
		return c.orDemo()
	}
	return c.given()
}

// begin frames what was asked for, or what there is where nothing was.
func (c *exportCommand) begin(f *config.File, e record.Extent, from, to time.Time) (*agent.Pictured, error) {
	if c.From == anyFrom {
		from = e.First
	}
	if c.To == anyTo {
		to = e.Last.Add(e.Period)
	}
	zone := time.Local
	if c.Simulated {
		zone = agent.SunZone(f)
	}
	return agent.NewPictured(f, from.In(zone), to.In(zone), e.Period)
}

// gather lets the picture see every reading of the newest loop.
func (c *exportCommand) gather(s *session, r *record.Reader, p *agent.Pictured, e record.Extent, from, to time.Time) error {
	changes, err := r.Changes(s)
	if err != nil {
		return err
	}
	p.Changed(changes, e.Loop)
	others := 0
	err = r.Each(s, from, to, func(x record.Reading) error {
		if x.Loop != e.Loop {
			others++
			return nil
		}
		p.Add(&x)
		return nil
	})
	if others > 0 {
		fmt.Fprintf(s.err, "%d readings of other loops than %s are not drawn\n", others, e.Loop)
	}
	return err
}
