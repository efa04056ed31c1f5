package bridge

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"duskloop/sensors/onewire"
)

// What a search takes of the bridge and the line (Maxim, application note 187, "1-Wire
// Search Algorithm", and DS2482-100 data sheet, "1-Wire Triplet"; from memory, as in line.go).
// The driver beneath searches too, but gives up where a busy computer slept between two bits.
const (
	searchAll = 0xF0
	triplet   = 0x78

	firstBit, secondBit, takenBit = 1 << 5, 1 << 6, 1 << 7
)

// mostProbes bounds a search that a bad line would lead astray. Chosen.
const mostProbes = 64

// Find searches the line for probes, by name. Other devices on it are left out. The search
// stands in a round's place, before its measurement, because within one it would be taken
// for its end; by our estimate it takes less than a tenth of a second for each device.
func (b *Bus) Find(ctx context.Context) ([]string, error) {
	c, err := b.turn(ctx)
	if err != nil {
		return nil, err
	}
	defer close(c.done)
	all, err := b.search(ctx)
	c.err = b.convert(ctx)
	return all, err
}

// turn waits until no round is under way and begins one that its caller ends.
func (b *Bus) turn(ctx context.Context) (*conversion, error) {
	for {
		b.round.Lock()
		old := b.round.now
		if !old.running() {
			c := &conversion{done: make(chan struct{})}
			b.round.now = c
			b.round.Unlock()
			return c, nil
		}
		b.round.Unlock()
		select {
		case <-ctx.Done():
			return nil, context.Cause(ctx)
		case <-old.done:
		}
	}
}

// search goes through the addresses, a pass for each.
func (b *Bus) search(ctx context.Context) ([]string, error) {
	var all []string
	var last uint64 // the address found last
	for fork := 64; fork >= 0 && len(all) < mostProbes; {
		var err error
		if last, fork, err = b.pass(last, fork); err != nil {
			return nil, fmt.Errorf("searching the line for probes: %w", err)
		}
		if name := fmt.Sprintf("%02x-%012x", last&0xFF, last>>8&0xFFFFFFFFFFFF); onewire.IsSerial(name) {
			all = append(all, name)
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	slices.Sort(all)
	return all, nil
}

// pass follows one branch of the addresses: as the last up to its fork, there the other way,
// and low from then on. It gives the address at its end and the last fork that it left by
// the low way; below 0 there is none, and that was the last address.
func (b *Bus) pass(last uint64, fork int) (address uint64, next int, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := b.found(); err != nil {
		return 0, 0, err
	}
	if err := b.exchange([]byte{searchAll}, nil); err != nil {
		b.doubt(err)
		return 0, 0, err
	}
	next = -1
	for i := range 64 {
		high := i == fork || i < fork && fork < 64 && last>>i&1 == 1
		status, err := b.do(triplet, map[bool]byte{true: 0x80}[high])
		switch both := status & (firstBit | secondBit); {
		case err != nil:
			b.doubt(err)
			return 0, 0, err
		case both == firstBit|secondBit:
			return 0, 0, errors.New("a probe went away meanwhile")
		case both == 0 && status&takenBit == 0:
			next = i
		}
		if status&takenBit != 0 {
			address |= 1 << i
		}
	}
	var bytes [7]byte
	for i := range bytes {
		bytes[i] = byte(address >> (8 * i))
	}
	if byte(address>>56) != onewire.CRC8(bytes[:]) {
		return 0, 0, errors.New("an address came whose checksum is wrong")
	}
	return address, next, nil
}
