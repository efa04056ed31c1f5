package sensors

import (
	"context"
	"fmt"
	"sync"
	"time"
)

// Wiring is what a Poller asks: buses with the probes wanted on each, and the
// battery meter, which may be nil.
type Wiring struct {
	Buses []Wired
	Meter Meter
}

// Wired is one bus and the names of the probes to ask on it, present or not.
type Wired struct {
	Bus    Bus
	Probes []string
}

// Poller asks every device once a round and keeps the last attempt of each.
//
// Each read runs in its own goroutine with a deadline. At the deadline the
// attempt is noted as TimedOut and the others never notice. The read itself
// cannot be taken back (a read inside the kernel listens to nobody), so its
// device is left alone until it returns, and what it then says is still kept.
// A read that never returns costs one goroutine and that one device.
type Poller struct {
	period, deadline time.Duration
	buses            []Bus
	lines            []*line

	// mu guards what follows and the state of every line. It is never held
	// across a read.
	mu     sync.Mutex
	probes map[string]Reading
	power  Power
}

// line is one device and the read of it that may be out.
type line struct {
	// read asks the device and returns the act of keeping its answer; overdue
	// keeps the lack of one. Both acts run under the Poller's lock.
	read    func(context.Context) (keep func())
	overdue func(waited time.Duration)

	out   bool
	began time.Time
}

// NewPoller asks everything in w every period and waits at most deadline for
// each answer. The deadline may exceed the period: no device is asked twice at
// once.
func NewPoller(w Wiring, period, deadline time.Duration) *Poller {
	p := &Poller{period: period, deadline: deadline, probes: make(map[string]Reading)}
	for _, wired := range w.Buses {
		p.buses = append(p.buses, wired.Bus)
		for _, probe := range wired.Probes {
			p.probes[probe] = Reading{Probe: probe}
			p.lines = append(p.lines, p.probeLine(wired.Bus, probe))
		}
	}
	if w.Meter != nil {
		p.lines = append(p.lines, p.meterLine(w.Meter))
	}
	return p
}

// probeLine asks one probe.
func (p *Poller) probeLine(bus Bus, probe string) *line {
	return &line{
		read: func(ctx context.Context) func() {
			r := bus.Read(ctx, probe)
			return func() { p.probes[probe] = r }
		},
		overdue: func(waited time.Duration) {
			p.probes[probe] = Reading{
				Probe: probe, At: time.Now(), Took: waited, Cause: TimedOut,
				Err: fmt.Errorf("reading probe %s: no answer after %v", probe, waited),
			}
		},
	}
}

// meterLine asks the battery meter.
func (p *Poller) meterLine(meter Meter) *line {
	return &line{
		read: func(ctx context.Context) func() {
			r := meter.Read(ctx)
			return func() { p.power = r }
		},
		overdue: func(waited time.Duration) {
			p.power = Power{
				At: time.Now(), Took: waited, Cause: TimedOut,
				Err: fmt.Errorf("reading battery meter: no answer after %v", waited),
			}
		},
	}
}

// Run polls until ctx ends, the first round at once. It does not wait for
// reads that are still out then.
func (p *Poller) Run(ctx context.Context) {
	tick := time.NewTicker(p.period)
	defer tick.Stop()
	for {
		p.round(ctx)
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

// Latest is the last attempt at probe; one that was never wired is NotYet. It
// never waits for hardware.
func (p *Poller) Latest(probe string) Reading {
	p.mu.Lock()
	defer p.mu.Unlock()
	if r, ok := p.probes[probe]; ok {
		return r
	}
	return Reading{Probe: probe}
}

// Power is the last attempt at the meter. It never waits for hardware.
func (p *Poller) Power() Power {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.power
}

// round starts one read of every device that is not still being read.
func (p *Poller) round(ctx context.Context) {
	for _, bus := range p.buses {
		bus.Begin(ctx)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, l := range p.lines {
		if l.out {
			p.noteOverdue(l)
			continue
		}
		l.out, l.began = true, time.Now()
		go p.ask(ctx, l)
	}
}

// ask reads one device and keeps its answer, however late.
func (p *Poller) ask(ctx context.Context, l *line) {
	ctx, cancel := context.WithTimeout(ctx, p.deadline)
	defer cancel()
	late := time.AfterFunc(p.deadline, func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		if l.out {
			p.noteOverdue(l)
		}
	})
	defer late.Stop()
	keep := l.read(ctx)
	p.mu.Lock()
	defer p.mu.Unlock()
	l.out = false
	keep()
}

// noteOverdue notes that the read of l is past its deadline; earlier it does
// nothing. The caller holds p.mu.
func (p *Poller) noteOverdue(l *line) {
	if waited := time.Since(l.began); waited >= p.deadline {
		l.overdue(waited)
	}
}
