package onewire

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"sync"

	"duskloop/sensors"
)

// devices is the kernel's folder of masters and probes, both as links.
const devices = "bus/w1/devices"

// serial is how the kernel names a probe: family and number. The families are
// those that share the DS18B20's scale and its bulk conversion.
var serial = regexp.MustCompile(`^(22|28|3b)-[0-9a-f]{12}$`)

// IsSerial says whether name is the kernel's name of a probe that this package
// reads, such as 28-0000a17c4e01.
func IsSerial(name string) bool { return serial.MatchString(name) }

// Bus is the whole 1-Wire tree: all masters, all probes.
type Bus struct {
	tree Tree

	mu      sync.Mutex // guards the map; held for no I/O
	masters map[string]*master
}

// A Bus can be polled.
var _ sensors.Bus = (*Bus)(nil)

// New reads probes through tree.
func New(tree Tree) *Bus {
	return &Bus{tree: tree, masters: make(map[string]*master)}
}

// Begin starts a bulk conversion on every master that offers one, and returns
// at once: it lists folders, which asks no probe. A master whose last conversion has not come back is left alone.
func (b *Bus) Begin(ctx context.Context) {
	names, err := b.tree.List(devices)
	if err != nil {
		return // every Read will meet the same error and report it
	}
	for _, name := range names {
		if isMaster(name) {
			b.begin(ctx, name)
		}
	}
}

// begin starts a conversion on one master if it is free.
func (b *Bus) begin(ctx context.Context, name string) {
	entries, err := b.tree.List(path.Join(devices, name))
	b.mu.Lock()
	defer b.mu.Unlock()
	if old, ok := b.masters[name]; ok && old.converting() {
		return
	}
	if err != nil {
		delete(b.masters, name) // its probes then convert by themselves
		return
	}
	m := newMaster(name, entries)
	b.masters[name] = m
	if m.Bulk {
		go m.convert(ctx, b.tree)
	}
}

// Read reads one probe by its serial, after the conversion of its master if
// one is under way.
func (b *Bus) Read(ctx context.Context, probe string) sensors.Reading {
	return sensors.Attempt(probe, func() sensors.Reading { return b.read(ctx, probe) })
}

// read fills in what the probe itself says.
func (b *Bus) read(ctx context.Context, probe string) sensors.Reading {
	if !IsSerial(probe) {
		return sensors.Reading{Cause: sensors.Failed, Err: errors.New("not the serial of a probe such as 28-0123456789ab")}
	}
	if m := b.masterOf(probe); m != nil {
		if err := m.wait(ctx); err != nil {
			return sensors.Reading{Cause: sensors.TimedOut, Err: err}
		}
	}
	text, err := b.tree.Read(path.Join(devices, probe, "w1_slave"))
	if err != nil {
		return b.refused(err)
	}
	pad, cause, err := Parse(string(text))
	// All zeros are bytes that were seen only if they are called stuck;
	// otherwise no scratchpad could be made out of the text.
	seen := pad != Scratchpad{} || cause == sensors.StuckLow
	return sensors.Reading{Value: pad.Value(), Raw: pad, HasRaw: seen, Cause: cause, Err: err}
}

// refused tells a probe that is not there from a kernel without 1-Wire and
// from a read that failed.
func (b *Bus) refused(err error) sensors.Reading {
	if !errors.Is(err, fs.ErrNotExist) {
		return sensors.Reading{Cause: sensors.Failed, Err: err}
	}
	if _, err := b.tree.List(devices); err != nil {
		return sensors.Reading{Cause: sensors.Failed, Err: fmt.Errorf("no 1-Wire tree: %w", err)}
	}
	return sensors.Reading{Cause: sensors.NothingThere, Err: fmt.Errorf("%w: %w", sensors.ErrNothingThere, err)}
}

// masterOf is the master whose conversion the probe takes part in, if any.
func (b *Bus) masterOf(probe string) *master {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, m := range b.masters {
		if m.Bulk && m.has(probe) {
			return m
		}
	}
	return nil
}
