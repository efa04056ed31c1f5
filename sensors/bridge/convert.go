package bridge

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"syscall"
	"time"

	onewirebus "periph.io/x/conn/v3/onewire"
	"periph.io/x/devices/v3/ds248x"

	"duskloop/sensors/onewire"
)

// Commands to the probes (DS18B20 datasheet, "ROM commands", "Function commands").
const skipAddress, matchAddress, convertAll, readScratchpad = 0xCC, 0x55, 0x44, 0xBE

// A conversion of 12 bit takes 750 ms at most (datasheet); genuine parts take 590 to
// 610 ms (C. Petrich, github.com/cpetrich/counterfeit_DS18B20, family A). longest
// leaves room for a slow copy of the part before it is given up; asked is how often
// its end is asked for.
const (
	most    = 750 * time.Millisecond
	longest = 1200 * time.Millisecond
	asked   = 5 * time.Millisecond
)

// convert measures all probes and returns when they are done.
func (b *Bus) convert(ctx context.Context) error {
	if err := b.start(); err != nil {
		return err
	}
	if b.settings.LinePowered {
		return pause(ctx, most)
	}
	end := time.Now().Add(longest)
	for time.Now().Before(end) {
		if err := pause(ctx, asked); err != nil {
			return err
		}
		switch over, err := b.over(); {
		case err != nil:
			return err
		case over:
			return nil
		}
	}
	return errors.New("the probes did not end their measurement: line held low, or a probe without power")
}

// start sets the bridge up where it is not and tells all probes to measure.
func (b *Bus) start() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := b.found(); err != nil {
		return err
	}
	pull := onewirebus.WeakPullup
	if b.settings.LinePowered {
		pull = onewirebus.StrongPullup
	}
	err := b.chip.Tx([]byte{skipAddress, convertAll}, nil, pull)
	if err != nil {
		b.doubt(err)
		return fmt.Errorf("starting a measurement: %w", err)
	}
	return nil
}

// found sets the bridge up. The driver beneath drops what the bus said, so that is
// asked for once more. The caller holds mu.
func (b *Bus) found() error {
	if b.chip != nil {
		return nil
	}
	options := ds248x.DefaultOpts
	chip, err := ds248x.New(b.i2c, driven, &options)
	if err != nil {
		if again := b.i2c.Tx(driven, nil, make([]byte, 1)); errors.Is(again, syscall.ENXIO) || errors.Is(again, syscall.EREMOTEIO) {
			err = errors.Join(err, again)
		}
		return fmt.Errorf("1-Wire bridge at %#x: %w", b.settings.Address, err)
	}
	b.chip = chip
	return nil
}

// over reads one byte of slots: a probe that still measures holds it low.
func (b *Bus) over() (bool, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	var got [1]byte
	if err := b.readByte(&got[0]); err != nil {
		b.doubt(err)
		return false, fmt.Errorf("waiting for the measurement: %w", err)
	}
	return got[0] == 0xFF, nil
}

// pause waits, or gives up with ctx.
func pause(ctx context.Context, d time.Duration) error {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
		return context.Cause(ctx)
	case <-t.C:
		return nil
	}
}

// addressOf is the 64-bit address for a probe's name: family in the lowest byte, then
// the serial number, then their checksum.
func addressOf(probe string) (onewirebus.Address, error) {
	if !onewire.IsSerial(probe) {
		return 0, errors.New("not the serial of a probe such as 28-0123456789ab")
	}
	family, number, _ := strings.Cut(probe, "-")
	low, err1 := strconv.ParseUint(family, 16, 8)
	high, err2 := strconv.ParseUint(number, 16, 48)
	if err := errors.Join(err1, err2); err != nil {
		return 0, err
	}
	address := low | high<<8
	var bytes [7]byte
	for i := range bytes {
		bytes[i] = byte(address >> (8 * i))
	}
	return onewirebus.Address(address | uint64(onewire.CRC8(bytes[:]))<<56), nil
}
