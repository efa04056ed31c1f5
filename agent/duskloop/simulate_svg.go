package main

import (
	"duskloop/agent"
)

// drawn is a picture while the days it shows are simulated; nil where none was
// asked for.
type drawn struct {
	*agent.Pictured
	file *replacement
}

// draw begins the picture of a trial and lets it see the run.
func (c *simulateCommand) draw(t agent.Trial) (*drawn, error) {
	if c.SVG == "" {
		return nil, nil
	}
	from := t.Start.In(agent.SunZone(t.File))
	p, err := agent.NewPictured(t.File, from, c.end(t).In(from.Location()), t.File.Daemon.Period.Duration())
	if err != nil {
		return nil, misused(err)
	}
	file, err := replace(c.SVG)
	if err != nil {
		return nil, err
	}
	return &drawn{p, file}, nil
}

// watch lets the picture see the run by the rules, and no other.
func (d *drawn) watch(t *agent.Trial) {
	if d != nil && t.Policy == agent.ByRules {
		t.Seen = d.Add
	}
}

// finish writes the picture.
func (d *drawn) finish() error {
	if d == nil {
		return nil
	}
	return d.file.finish(d.Write)
}

// drop forgets a picture that will not be finished.
func (d *drawn) drop() {
	if d != nil {
		d.file.drop()
	}
}
