package bridge

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"syscall"

	"periph.io/x/conn/v3/i2c"
	onewirebus "periph.io/x/conn/v3/onewire"
	"periph.io/x/devices/v3/ds248x"

	"duskloop/sensors"
	"duskloop/sensors/onewire"
)

// Settings say how the bridge is wired.
type Settings struct {
	// Address on the I²C bus: 0x18 to 0x1b; zero means 0x18.
	Address uint16
	// LinePowered: some probes have only two wires. Their conversion is waited out.
	LinePowered bool
}

// Bus is the line behind one bridge. The bridge is set up at the first conversion and
// again after every fault of its own, so one that is plugged in later works from then
// on.
type Bus struct {
	settings Settings
	i2c      i2c.Bus

	mu   sync.Mutex // guards the bridge: one transaction at a time
	chip *ds248x.Dev

	round struct {
		sync.Mutex
		now *conversion
	}
}

// A Bus can be polled.
var _ sensors.Bus = (*Bus)(nil)

// New is the line behind the bridge on an I²C bus. It touches no hardware yet.
func New(bus i2c.Bus, s Settings) (*Bus, error) {
	if s.Address == 0 {
		s.Address = 0x18
	}
	if s.Address < 0x18 || s.Address > 0x1b {
		return nil, fmt.Errorf("1-Wire bridge: address %#x is not within 0x18 to 0x1b", s.Address)
	}
	return &Bus{settings: s, i2c: readdressed{bus, s.Address}}, nil
}

// readdressed lets the driver beneath, which knows only some of the chip's addresses,
// reach all of them.
type readdressed struct {
	i2c.Bus
	address uint16
}

// Tx implements i2c.Bus.
func (r readdressed) Tx(_ uint16, w, read []byte) error { return r.Bus.Tx(r.address, w, read) }

// driven is an address that the driver beneath accepts.
const driven = 0x18

// Begin starts a conversion of all probes and returns at once. While the last one has
// not ended, nothing is started.
func (b *Bus) Begin(ctx context.Context) {
	b.round.Lock()
	defer b.round.Unlock()
	if b.round.now.running() {
		return
	}
	c := &conversion{done: make(chan struct{})}
	b.round.now = c
	go func() {
		defer close(c.done)
		c.err = b.convert(ctx)
	}()
}

// conversion is one measurement of all probes.
type conversion struct {
	done chan struct{}
	err  error // after done
}

// running says whether it is under way; nothing is not.
func (c *conversion) running() bool {
	if c == nil {
		return false
	}
	select {
	case <-c.done:
		return false
	default:
		return true
	}
}

// Read reads one probe after the conversion that was begun last.
func (b *Bus) Read(ctx context.Context, probe string) sensors.Reading {
	return sensors.Attempt(probe, func() sensors.Reading { return b.read(ctx, probe) })
}

func (b *Bus) read(ctx context.Context, probe string) sensors.Reading {
	address, err := addressOf(probe)
	if err != nil {
		return sensors.Reading{Cause: sensors.Failed, Err: err}
	}
	b.round.Lock()
	c := b.round.now
	b.round.Unlock()
	if c == nil {
		return sensors.Reading{Cause: sensors.NotYet, Err: errors.New("nothing was measured yet")}
	}
	select {
	case <-ctx.Done():
		return sensors.Reading{Cause: sensors.TimedOut, Err: context.Cause(ctx)}
	case <-c.done:
	}
	if c.err != nil {
		return refused(c.err)
	}
	return b.scratchpad(address)
}

// scratchpad reads a probe's memory and judges it.
func (b *Bus) scratchpad(address onewirebus.Address) sensors.Reading {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.chip == nil {
		return refused(errors.New("the bridge failed meanwhile"))
	}
	var pad onewire.Scratchpad
	if err := b.exchange(addressed(address, readScratchpad), pad[:]); err != nil {
		b.doubt(err)
		return refused(err)
	}
	cause, err := pad.Cause()
	if cause == sensors.AllOnes && pad.Raw() == -1 {
		// The line answers to a reset and this address is silent.
		cause, err = sensors.NothingThere, fmt.Errorf("%w: no such probe on this line", sensors.ErrNothingThere)
	}
	return sensors.Reading{Value: pad.Value(), Raw: pad, HasRaw: true, Cause: cause, Err: err}
}

// doubt gives the bridge up after a fault of its own; a fault of the line is none. The
// caller holds mu.
func (b *Bus) doubt(err error) {
	var line onewirebus.BusError
	if !errors.As(err, &line) {
		b.chip = nil
	}
}

// refused tells an address where nobody answers, and a line without probes, from other
// faults.
func refused(err error) sensors.Reading {
	var short onewirebus.ShortedBusError
	var line onewirebus.BusError
	missing := errors.Is(err, syscall.ENXIO) || errors.Is(err, syscall.EREMOTEIO)
	switch {
	case errors.As(err, &short):
		return sensors.Reading{Cause: sensors.StuckLow, Err: err}
	case missing, errors.As(err, &line):
		return sensors.Reading{Cause: sensors.NothingThere, Err: fmt.Errorf("%w: %w", sensors.ErrNothingThere, err)}
	}
	return sensors.Reading{Cause: sensors.Failed, Err: err}
}
