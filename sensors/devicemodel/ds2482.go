package devicemodel

import (
	"fmt"
	"sync"
	"time"
)

// The DS2482-100's commands, read pointers and status bits (Maxim, DS2482-100 data
// sheet, "Function Commands", "Registers"; from memory, and what periph's driver
// sends and expects).
const (
	cmdDeviceReset, cmdSetPointer, cmdConfigure         = 0xF0, 0xE1, 0xD2
	cmdLineReset, cmdLineWrite, cmdLineRead, cmdTriplet = 0xB4, 0xA5, 0x96, 0x78
	pointStatus, pointData, pointConfig                 = 0xF0, 0xE1, 0xC3

	statusPresence, statusShort, statusLevel, statusDeviceReset = 1 << 1, 1 << 2, 1 << 3, 1 << 4
	statusSingleBit, statusTriplet, statusDirection             = 1 << 5, 1 << 6, 1 << 7
)

// What the line takes at standard speed: a reset with its presence pulse, and one slot
// with its recovery (same source: 1.148 ms and 69.3 µs, typical).
const (
	resetTakes = 1148 * time.Microsecond
	slotTakes  = 69300 * time.Nanosecond
	statusBusy = 1 << 0
)

// DS2482 is a bridge from I²C to one 1-Wire line. It is busy for as long as the line
// really takes, and refuses commands meanwhile.
type DS2482 struct {
	line *OneWire

	mu      sync.Mutex
	pointer byte
	status  byte
	data    byte
	config  byte
	free    time.Time // when the line is
	hurried bool
}

// NewDS2482 is a bridge just powered on, before a line.
func NewDS2482(line *OneWire) *DS2482 {
	d := &DS2482{line: line}
	d.PowerCycle()
	return d
}

// Hurry makes the line take no time, for tests of long nights.
func (d *DS2482) Hurry() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.hurried = true
}

// PowerCycle loses what was written to the bridge.
func (d *DS2482) PowerCycle() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.pointer, d.status, d.data, d.config = pointStatus, statusLevel|statusDeviceReset, 0, 0
}

// Transfer implements Part: a command with its bytes, then any number of reads of
// the register pointed at.
func (d *DS2482) Transfer(w, r []byte) error {
	if len(w) > 0 {
		if err := d.command(w[0], w[1:]); err != nil {
			return err
		}
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	for i := range r {
		r[i] = d.register()
	}
	return nil
}

func (d *DS2482) register() byte {
	switch d.pointer {
	case pointData:
		return d.data
	case pointConfig:
		return d.config
	}
	if d.busy() {
		return d.status | statusBusy
	}
	return d.status
}

func (d *DS2482) busy() bool { return !d.hurried && time.Now().Before(d.free) }

func (d *DS2482) command(c byte, with []byte) error {
	wants := map[byte]int{cmdSetPointer: 1, cmdConfigure: 1, cmdLineWrite: 1, cmdTriplet: 1}
	if len(with) != wants[c] {
		return fmt.Errorf("ds2482 model: command %#x with %d bytes", c, len(with))
	}
	switch c {
	case cmdDeviceReset:
		d.PowerCycle()
		return nil
	case cmdSetPointer:
		return d.point(with[0])
	case cmdConfigure:
		return d.configure(with[0])
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.status&statusDeviceReset != 0 {
		return fmt.Errorf("ds2482 model: command %#x before it was configured", c)
	}
	if d.busy() {
		return fmt.Errorf("ds2482 model: command %#x while the line is busy", c)
	}
	d.pointer = pointStatus
	d.free = time.Now().Add(map[byte]time.Duration{
		cmdLineReset: resetTakes, cmdLineWrite: 8 * slotTakes, cmdLineRead: 8 * slotTakes, cmdTriplet: 3 * slotTakes,
	}[c])
	return d.drive(c, with)
}

func (d *DS2482) point(to byte) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if to != pointStatus && to != pointData && to != pointConfig {
		return fmt.Errorf("ds2482 model: no register %#x", to) // a -100 acknowledges no other
	}
	d.pointer = to
	return nil
}

// configure takes a byte whose upper half is the lower one's complement.
func (d *DS2482) configure(b byte) error {
	if b>>4 != ^b&0x0F {
		return fmt.Errorf("ds2482 model: configuration %#x is not its own complement", b)
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.config, d.pointer = b&0x0F, pointConfig
	d.status &^= statusDeviceReset
	return nil
}

// drive works the line.
func (d *DS2482) drive(c byte, with []byte) error {
	d.status &^= statusSingleBit | statusTriplet | statusDirection
	switch c {
	case cmdLineReset:
		d.status &^= statusPresence | statusShort
		present, short := d.line.Reset()
		if short {
			d.status |= statusShort
		} else if present {
			d.status |= statusPresence
		}
	case cmdLineWrite:
		return d.line.WriteByte(with[0])
	case cmdLineRead:
		var err error
		d.data, err = d.line.ReadByte()
		return err
	case cmdTriplet:
		zero, one, taken := d.line.Triplet(with[0]&0x80 != 0)
		for bit, set := range map[byte]bool{statusSingleBit: !zero, statusTriplet: !one, statusDirection: taken} {
			if set {
				d.status |= bit
			}
		}
	default:
		return fmt.Errorf("ds2482 model: no command %#x", c)
	}
	return nil
}
