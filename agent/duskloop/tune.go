package main

import (
	"context"
	"fmt"
	"hash/fnv"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/agent/tuning"
	"duskloop/agent/wire"
	"duskloop/sim/season"
	"duskloop/sim/tune"
	"duskloop/sim/weather"
)

type tuneCommand struct {
	greenhouseFile
	placeFlags
	Weather   string  `help:"Weather file whose winter is searched and judged on: TMY3, PVGIS, NSRDB or plain CSV. Without it an invented winter." placeholder:"FILE"`
	Sets      int     `help:"So many sets of settings are tried." default:"160"`
	Invented  int     `help:"So many invented winters more that sets are judged on." default:"2"`
	Draws     int     `help:"So many greenhouses, within what the fit leaves open, on which a set must be better too." default:"4"`
	Battery   float64 `help:"What a kilowatt-hour of the battery is worth, in K²h below the crop's minimum." default:"1"`
	Starts    float64 `help:"What a start of the pump is worth, in K²h." default:"0.002"`
	Seed      uint64  `help:"Of the search and of invented weather." default:"1"`
	Resume    string  `help:"Keep every flight in this file, and go on from what is in it." placeholder:"FILE"`
	SVG       string  `help:"Draw what was tried, crop against battery, into this file." name:"svg" placeholder:"FILE"`
	JSON      bool    `help:"Print JSON." name:"json"`
	Apply     bool    `help:"Change the settings of the running daemon, if something is better. duskloop settings --back puts them back."`
	Simulated bool    `help:"--apply to the demo's daemon instead of the real one."`

	changed map[string]string // settings that the daemon runs by and the file has otherwise
	asked   []wire.Setting    // all that it runs by
}

// The least and the most that a search is asked for.
const (
	fewestSets, mostSets = 32, 20000
	mostInvented         = 8
	mostDraws            = 16
)

// Run searches, judges and tells; with --apply it changes what is better.
func (c *tuneCommand) Run(s *session) error {
	switch {
	case c.Sets < fewestSets || c.Sets > mostSets:
		return misuse("--sets is from %d to %d, not %d", fewestSets, mostSets, c.Sets)
	case c.Invented < 0 || c.Invented > mostInvented:
		return misuse("--invented is from 0 to %d, not %d", mostInvented, c.Invented)
	case c.Draws < 1 || c.Draws > mostDraws:
		return misuse("--draws is from 1 to %d, not %d", mostDraws, c.Draws)
	case !(c.Battery >= 0 && c.Starts >= 0):
		return misuse("--battery and --starts are 0 or more")
	}
	f, err := c.orDemo()
	if err != nil {
		return err
	}
	if f, err = c.inForce(s, f); err != nil {
		return err
	}
	b, f, err := c.bench(s, f)
	if err != nil {
		return err
	}
	var file *replacement
	if c.SVG != "" {
		if file, err = replace(c.SVG); err != nil {
			return err
		}
		defer file.drop()
	}
	found, err := c.search(s, f, b)
	if err != nil {
		return err
	}
	if file != nil {
		if err := file.finish(tradeOff(b, f, found).Write); err != nil {
			return err
		}
	}
	if c.JSON {
		if err := printJSON(s.out, told(b, f, found)); err != nil {
			return err
		}
	} else {
		printTuned(s.out, b, f, found, c.changed)
	}
	return c.apply(s, b, found)
}

// inForce is the file with what was changed while running, where the result is for the running
// daemon: what is judged as today's must be what runs. Otherwise today's are the file's.
func (c *tuneCommand) inForce(s *session, f *config.File) (*config.File, error) {
	if !c.Apply {
		return f, nil
	}
	outdated := agent.OutdatedFit(f)
	switch g := f.Fitted; {
	case g == nil:
		return f, fmt.Errorf("no fit: settings found on a greenhouse that nobody measured are not applied. Fit it to its record first (duskloop fit --write), or leave --apply out and copy the lines if you will")
	case len(outdated) > 0:
		return f, fmt.Errorf("the greenhouse has changed since the fit, and nothing is applied by it: %s", strings.Join(outdated, " "))
	case !g.Trusted():
		return f, fmt.Errorf("the fit is %s; by it nothing is applied", g.Verdict(f.Site.Units))
	}
	a, err := ask(s, c.Simulated, wire.Command{Show: true})
	if err != nil {
		return f, err
	}
	file := make(map[string]string)
	for _, x := range f.Live(f.Site.Units) {
		file[x.Key] = x.To
	}
	c.changed = make(map[string]string)
	for _, x := range a.Settings {
		if was, ok := file[x.Key]; ok && was != x.Value {
			c.changed[x.Key] = x.Value
		}
	}
	if own := f.Loop().Carry.Spend.String(); a.Spend != own {
		return f, fmt.Errorf("the daemon spends heat by %s and this file by %s (carry.spend): what is best for one is not for the other, so nothing is applied; leave --apply out", a.Spend, own)
	}
	c.asked = a.Settings
	next, _, err := f.With(c.changed)
	if err != nil {
		return f, fmt.Errorf("the daemon runs by settings that this greenhouse file does not take: %w", err)
	}
	return next, nil
}

// bench is the file's, with the winters asked for.
func (c *tuneCommand) bench(s *session, f *config.File) (*tuning.Bench, *config.File, error) {
	var w season.Bench
	label := "invented"
	if c.Weather == "" {
		w.Sky = nil
		w.Over = winterOf(2025, sunOffset(f.Site.Longitude), f.Site.Latitude)
	} else {
		var err error
		label = filepath.Base(c.Weather)
		if f, err = (&seasonCommand{placeFlags: c.placeFlags, Weather: c.Weather}).under(s, f, &w); err != nil {
			return nil, f, err
		}
	}
	b, err := tuning.NewBench(f)
	if err != nil {
		return nil, f, err
	}
	if w.Sky == nil {
		w.Sky = func(weather.Sky) weather.Source { return b.Invented(c.Seed) }
	}
	var seeds []uint64
	for i := range c.Invented {
		seeds = append(seeds, c.Seed+100+uint64(i))
	}
	b.Winters(w.Over, w.Sky, label, seeds)
	return b, f, nil
}

// search runs the search on all cores, from what is remembered where it is asked to.
func (c *tuneCommand) search(s *session, f *config.File, b *tuning.Bench) (*tune.Found, error) {
	x := tune.Search{Knobs: b.Knobs(), Trade: tune.Trade{Battery: c.Battery, Start: c.Starts}, Sets: c.Sets, Seed: c.Seed, Draws: c.Draws}
	x.Searched, x.Judged = b.Halves()
	var m *tuning.Memory
	if c.Resume != "" {
		of, err := c.of(f)
		if err == nil {
			m, err = tuning.Remember(c.Resume, of)
		}
		if err != nil {
			return nil, named("--resume", err)
		}
		defer m.Close()
	}
	bar := barOf(s.err, -1)
	defer bar.finish()
	return tune.Run(x, func(asks []tune.Ask) ([]season.Spent, error) { return flyAsks(s, b, m, bar, asks) })
}

// of is what a memory's flights depend on beside the asks.
func (c *tuneCommand) of(f *config.File) (string, error) {
	h := fnv.New64a()
	fmt.Fprintf(h, "%s %s %d %d %v %+v\n", agent.Version(), c.Weather, c.Seed, c.Invented, c.changed, f.Site)
	for _, path := range []string{f.Path, c.Weather} {
		if path == "" {
			continue
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return "", err
		}
		_, _ = h.Write(data)
	}
	if f.Fitted != nil {
		fmt.Fprintf(h, "%+v", *f.Fitted)
	}
	return fmt.Sprintf("%016x", h.Sum64()), nil
}

// flyAsks answers asks on all cores.
func flyAsks(s *session, b *tuning.Bench, m *tuning.Memory, bar *bar, asks []tune.Ask) ([]season.Spent, error) {
	all := make([]season.Spent, len(asks))
	var keeping sync.Mutex
	g, ctx := errgroup.WithContext(s)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range asks {
		a := &asks[i]
		var known bool
		keeping.Lock()
		all[i], known = m.Of(a)
		keeping.Unlock()
		if known {
			continue
		}
		g.Go(func() (err error) {
			if err = context.Cause(ctx); err != nil {
				return err
			}
			defer bar.step()
			if all[i], err = b.Fly(*a); err != nil {
				return err
			}
			keeping.Lock()
			defer keeping.Unlock()
			return m.Keep(a, all[i])
		})
	}
	return all, g.Wait()
}

// apply changes the running daemon's settings to the best set.
func (c *tuneCommand) apply(s *session, b *tuning.Bench, found *tune.Found) error {
	if !c.Apply {
		return nil
	}
	if found.Best == nil {
		fmt.Fprintln(s.err, "Nothing is applied.")
		return nil
	}
	a, err := ask(s, c.Simulated, wire.Command{Show: true})
	if err != nil {
		return err
	}
	if !slices.Equal(a.Settings, c.asked) {
		return fmt.Errorf("settings were changed while this searched: what was found was not judged beside them. Nothing is applied; tune again")
	}
	if a, err = ask(s, c.Simulated, wire.Command{Set: b.Changes(found.Best), Who: "tuning"}); err != nil {
		return err
	}
	fmt.Fprintf(s.err, "Applied: %s.\nTo put it back: duskloop settings --back%s\n", a.Reason, map[bool]string{true: " --simulated"}[c.Simulated])
	return nil
}
