package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

type trialFollow struct {
	Name      string `arg:"" help:"What the run is called. Its readings are kept in NAME.csv, line by line."`
	Liquid    string `help:"Place whose probe is in the liquid: tank, coil, return, tunnel, bed, greenhouse or outdoors." default:"tank" enum:"tank,coil,return,tunnel,bed,greenhouse,outdoors"`
	Air       string `help:"Place whose probe is in the air around the vessel." default:"greenhouse" enum:"tank,coil,return,tunnel,bed,greenhouse,outdoors"`
	Steady    bool   `help:"The heater is on a steady supply, not on the panel: leave the panel's voltage out."`
	Overwrite bool   `help:"Replace NAME.csv if it is there."`
	Every     string `help:"How often the daemon is asked; without it once in each of its periods." placeholder:"TIME"`
	Simulated bool   `help:"The demo's daemon instead of the real one."`
	trialVessel
	trialShown
}

// Run follows a run until the grower stops it, and judges it.
func (c *trialFollow) Run(s *session) error {
	heat, err := c.heat()
	if err != nil {
		return err
	}
	f, err := c.follower(s)
	if err != nil {
		return err
	}
	period, err := f.begin(s, c.path(), c.Overwrite)
	if err != nil {
		return err
	}
	if c.Every != "" {
		period = c.every()
	} else if c.Simulated {
		period = simulatedEvery
	}
	ticks := time.NewTicker(period)
	defer ticks.Stop()
	f.ticks, f.words = ticks.C, spoken(s, os.Stdin)
	if err := f.follow(s); err != nil {
		f.say("Switch the heater off.")
		return err
	}
	return c.judge(s, heat)
}

// simulatedEvery is how often the demo is asked, whose clock runs faster than ours.
const simulatedEvery = 250 * time.Millisecond

// soonest that a daemon may be asked again.
const soonest = 10 * time.Millisecond

func (c *trialFollow) every() time.Duration {
	var every quantity.Span
	_ = every.Set(c.Every) // follower has checked it
	return every.Duration()
}

// follower is one that has asked nothing yet.
func (c *trialFollow) follower(s *session) (*follower, error) {
	f := &follower{liquid: c.Liquid, air: c.Air, steady: c.Steady, out: s.err}
	if err := f.units.Set(c.Units); err != nil {
		return nil, named("--units", err)
	}
	var every quantity.Span
	if c.Every != "" {
		if err := every.Set(c.Every); err != nil {
			return nil, named("--every", err)
		}
		if every.Duration() < soonest {
			return nil, misuse("--every: %v at least", soonest)
		}
	}
	if c.Liquid == c.Air {
		return nil, misuse("--liquid and --air: two probes are needed, both are %s", c.Liquid)
	}
	f.ask = func(ctx context.Context) (wire.Answer, error) {
		return ask(&session{Context: ctx, state: s.state}, c.Simulated, wire.Command{Readings: true})
	}
	return f, nil
}

// path of the run's file.
func (c *trialFollow) path() string {
	if filepath.Ext(c.Name) == ".csv" {
		return c.Name
	}
	return c.Name + ".csv"
}

// judge what was kept, as it will be judged from the file later.
func (c *trialFollow) judge(s *session, heat float64) error {
	fmt.Fprintf(s.err, "The run is kept in %s. `duskloop trial %s OTHER.csv` compares it with another.\n", c.path(), c.path())
	j, err := judge(c.path(), heat)
	if err != nil {
		return fmt.Errorf("%s: %w", c.path(), err)
	}
	return c.show(s, []judged{j})
}

// spoken are the lines of in, closed at its end.
func spoken(ctx context.Context, in io.Reader) <-chan string {
	words := make(chan string)
	go func() {
		defer close(words)
		lines := bufio.NewScanner(in)
		for lines.Scan() {
			select {
			case words <- strings.ToLower(strings.TrimSpace(lines.Text())):
			case <-ctx.Done():
				return
			}
		}
	}()
	return words
}
