package agent

import (
	"context"
	"slices"
	"strings"
	"sync"
	"time"

	"duskloop/sensors"
)

// For how long after somebody asked the bus is looked through, and how often: its list, and
// its probes that the file does not name. Chosen: a browser asks anew with each tick.
const (
	strangersFor  = 30 * time.Second
	listEvery     = 15 * time.Second
	strangersRead = 2 * time.Second
)

// strangers are the probes on a bus that the greenhouse file does not name. They are read
// while somebody wants to name one, beside the poller and never by the loop.
type strangers struct {
	bus  sensors.Bus
	ours []string

	mu     sync.Mutex
	wanted time.Time
	listed time.Time
	began  time.Time
	busy   bool // a round is out; one that never returns costs this view alone
	names  []string
	err    error
	latest map[string]sensors.Reading
}

// newStrangers of a bus; nil where it cannot say what is on it.
func newStrangers(bus sensors.Bus, ours []string) *strangers {
	if _, ok := bus.(sensors.Finder); !ok {
		return nil
	}
	return &strangers{bus: bus, ours: ours, latest: make(map[string]sensors.Reading)}
}

// want says that somebody looks.
func (s *strangers) want(now time.Time) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.wanted = now
}

// look is the last attempts at those that are there, in the order of their names, and why
// the bus could not be looked through. It never waits, and begins another round where one
// is due.
func (s *strangers) look(now time.Time) ([]sensors.Reading, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if now.Sub(s.wanted) > strangersFor {
		clear(s.latest)
		s.names, s.listed, s.err = nil, time.Time{}, nil
		return nil, nil
	}
	if !s.busy && now.Sub(s.began) >= strangersRead {
		s.busy, s.began = true, now
		go s.round(now.Sub(s.listed) >= listEvery)
	}
	var all []sensors.Reading
	for _, n := range s.names {
		r := s.latest[n]
		r.Probe = n
		all = append(all, r)
	}
	return all, s.err
}

// round lists the bus where that is due, and reads the strangers on it.
func (s *strangers) round(list bool) {
	ctx, cancel := context.WithTimeout(context.Background(), readDeadline)
	defer cancel()
	s.mu.Lock()
	names := s.names
	s.mu.Unlock()
	var err error
	if list {
		names, err = s.bus.(sensors.Finder).Find(ctx)
		names = slices.DeleteFunc(names, func(n string) bool { return slices.Contains(s.ours, n) })
		slices.SortFunc(names, strings.Compare)
	}
	read := make(map[string]sensors.Reading)
	for _, n := range names {
		read[n] = s.bus.Read(ctx, n)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.busy, s.names, s.latest = false, names, read
	if list {
		s.listed, s.err = s.began, err
	}
}
