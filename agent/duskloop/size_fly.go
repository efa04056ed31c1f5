package main

import (
	"context"
	"io"
	"runtime"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/sync/errgroup"
	"golang.org/x/term"

	"duskloop/agent/sizing"
	"duskloop/sim/season"
)

// work out the worksheet: the winter without heat and with it, every change alone, and
// the best together, on all cores.
func work(s *session, x *sizing.Sketch) (*sizing.Worksheet, error) {
	lit, err := x.Lit()
	if err != nil {
		return nil, err
	}
	changes := x.Changes(lit)
	var off, warm, planned season.Flight
	levers := make([]sizing.Lever, len(changes))
	jobs := []func() error{
		func() (err error) { planned, err = x.Fly(season.PolicyPlan); return err }, // the longest, so it begins first
		func() (err error) { off, err = x.Fly(season.PolicyOff); return err },
		func() (err error) { warm, err = x.Fly(x.Policy); return err },
	}
	for i := range changes {
		jobs = append(jobs, func() (err error) { levers[i], err = x.Try(changes[i]); return err })
	}
	bar := barOf(s.err, len(jobs)+mostTogether)
	defer bar.finish()
	if err := each(s, bar, jobs); err != nil {
		return nil, err
	}
	w, err := x.Sheet(lit, &off, &warm, &planned)
	if err != nil {
		return nil, err
	}
	sizing.Rank(levers, w.With)
	w.Levers = levers
	w.Together, err = together(s, bar, x, levers)
	sizing.Rank(w.Together, w.With)
	return w, err
}

// mostTogether is how many sets of changes are flown together: three pairs and all three.
const mostTogether = 4

func together(s *session, bar *bar, x *sizing.Sketch, ranked []sizing.Lever) ([]sizing.Lever, error) {
	sets := sizing.Together(ranked)
	all := make([]sizing.Lever, len(sets))
	var jobs []func() error
	for i := range sets {
		jobs = append(jobs, func() (err error) { all[i], err = x.Try(sets[i]...); return err })
	}
	return all, each(s, bar, jobs)
}

// each does jobs on all cores, until one fails or the session ends.
func each(s *session, bar *bar, jobs []func() error) error {
	g, ctx := errgroup.WithContext(s)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for _, job := range jobs {
		g.Go(func() error {
			if err := context.Cause(ctx); err != nil {
				return err
			}
			defer bar.step()
			return job()
		})
	}
	return g.Wait()
}

// bar shows on a terminal how much is done; elsewhere nothing.
type bar struct {
	mu  sync.Mutex
	bar *progressbar.ProgressBar
}

func barOf(w io.Writer, jobs int) *bar {
	f, ok := w.(interface{ Fd() uintptr })
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return &bar{}
	}
	return &bar{bar: progressbar.NewOptions(jobs, progressbar.OptionSetWriter(w), progressbar.OptionSetDescription("winters"),
		progressbar.OptionClearOnFinish(), progressbar.OptionThrottle(100*time.Millisecond))}
}

func (b *bar) step() {
	if b.bar == nil {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	_ = b.bar.Add(1)
}

func (b *bar) finish() {
	if b.bar != nil {
		_ = b.bar.Finish()
	}
}
