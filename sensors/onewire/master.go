package onewire

import (
	"context"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"
)

// bulkFile starts a conversion of all probes of a master and tells its state.
const bulkFile = "therm_bulk_read"

// conversion is how long a probe measures at 12 bit, at most (DS18B20
// datasheet, AC electrical characteristics). It is the wait where the kernel
// does not say.
const conversion = 750 * time.Millisecond

// pollEvery is chosen: short beside a conversion, long beside a file read.
const pollEvery = 20 * time.Millisecond

// Master is one 1-Wire line as the last round found it.
type Master struct {
	Name   string
	Probes []string
	// Bulk says whether the kernel offers one conversion for all.
	Bulk bool
	// Err is why the last bulk conversion did not happen; reads then convert
	// one by one. Took is how long it lasted otherwise.
	Err  error
	Took time.Duration
}

// master is a Master with its conversion. Err and Took may be read once done is
// closed.
type master struct {
	Master
	done chan struct{}
}

func isMaster(name string) bool { return strings.HasPrefix(name, "w1_bus_master") }

// newMaster is the master with these entries in its folder. Without bulk
// conversion there is nothing to wait for.
func newMaster(name string, entries []string) *master {
	m := &master{done: make(chan struct{})}
	m.Name, m.Bulk = name, slices.Contains(entries, bulkFile)
	for _, e := range entries {
		if IsSerial(e) {
			m.Probes = append(m.Probes, e)
		}
	}
	slices.Sort(m.Probes)
	if !m.Bulk {
		close(m.done)
	}
	return m
}

func (m *master) has(probe string) bool { return slices.Contains(m.Probes, probe) }

// converting says whether the conversion has not come back yet.
func (m *master) converting() bool {
	select {
	case <-m.done:
		return false
	default:
		return true
	}
}

// wait returns when the conversion is over, or with an error when ctx is.
func (m *master) wait(ctx context.Context) error {
	select {
	case <-m.done:
		return nil
	case <-ctx.Done():
		return fmt.Errorf("conversion on %s: %w", m.Name, context.Cause(ctx))
	}
}

// convert measures all probes of the master at once.
func (m *master) convert(ctx context.Context, tree Tree) {
	defer close(m.done)
	began := time.Now()
	file := path.Join(devices, m.Name, bulkFile)
	if err := tree.Write(file, []byte("trigger\n")); err != nil {
		m.Err = fmt.Errorf("starting bulk conversion on %s: %w", m.Name, err)
		return
	}
	// A signal may have ended the kernel's wait early, with no error, and the
	// probes would then be read before they are done. They began some time before
	// the write came back: from there a whole conversion is enough.
	if whole := m.conversion(tree); time.Since(began) < whole {
		pause(ctx, whole)
	}
	for range int(conversion / pollEvery) {
		state, err := tree.Read(file)
		if err != nil || strings.TrimSpace(string(state)) != "-1" {
			break
		}
		pause(ctx, pollEvery)
	}
	m.Took = time.Since(began)
}

// conversion is the longest conversion time of the master's probes, as the kernel
// has it: the datasheet's, or shorter where somebody had it measured (doc.go).
func (m *master) conversion(tree Tree) time.Duration {
	longest := time.Duration(0)
	for _, probe := range m.Probes {
		text, err := tree.Read(path.Join(devices, probe, "conv_time"))
		if err != nil {
			return conversion
		}
		ms, err := strconv.Atoi(strings.TrimSpace(string(text)))
		if err != nil || ms <= 0 || ms > 10_000 {
			return conversion
		}
		longest = max(longest, time.Duration(ms)*time.Millisecond)
	}
	return longest
}

// pause waits for d or until ctx ends.
func pause(ctx context.Context, d time.Duration) {
	if d <= 0 {
		return
	}
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
	case <-ctx.Done():
	}
}
