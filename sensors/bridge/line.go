package bridge

import (
	"errors"
	"time"

	onewirebus "periph.io/x/conn/v3/onewire"
)

// The bridge's own commands and status bits (Maxim, DS2482-100 data sheet, "Function
// Commands" and "Status Register"; from memory, as in the driver beneath). The bytes
// of a scratchpad are fetched with them and not through that driver: it sleeps
// between two bytes, and where the kernel's shortest sleep is a millisecond ten
// probes cost it a fifth of a conversion more.
const (
	lineReset, lineWrite, lineRead = 0xB4, 0xA5, 0x96
	setPointer, dataRegister       = 0xE1, 0xE1

	busyBit, presenceBit, shortBit = 1 << 0, 1 << 1, 1 << 2
)

// patience is how long a line may be busy with one command: a reset takes 1.1 ms.
const patience = 20 * time.Millisecond

var errBusy = errors.New("the bridge does not end its work on the line")

// exchange resets the line, writes w and reads r. The caller holds mu.
func (b *Bus) exchange(w, r []byte) error {
	status, err := b.do(lineReset)
	switch {
	case err != nil:
		return err
	case status&shortBit != 0:
		return shorted{}
	case status&presenceBit == 0:
		return silent{}
	}
	for _, c := range w {
		if _, err := b.do(lineWrite, c); err != nil {
			return err
		}
	}
	for i := range r {
		if err := b.readByte(&r[i]); err != nil {
			return err
		}
	}
	return nil
}

// do gives the bridge a command and waits until the line is idle. Asking over I²C is
// itself about as slow as the line, so that hardly anything is asked twice.
func (b *Bus) do(command ...byte) (status byte, err error) {
	if err := b.i2c.Tx(driven, command, nil); err != nil {
		return 0, err
	}
	var got [1]byte
	for end := time.Now().Add(patience); ; {
		late := time.Now().After(end) // before asking: a busy computer may have slept since
		if err := b.i2c.Tx(driven, nil, got[:]); err != nil {
			return 0, err
		}
		if got[0]&busyBit == 0 {
			return got[0], nil
		}
		if late {
			return 0, errBusy
		}
	}
}

// readByte reads one byte off the line.
func (b *Bus) readByte(into *byte) error {
	if _, err := b.do(lineRead); err != nil {
		return err
	}
	var got [1]byte
	if err := b.i2c.Tx(driven, []byte{setPointer, dataRegister}, got[:]); err != nil {
		return err
	}
	*into = got[0]
	return nil
}

// addressed is a command to one probe.
func addressed(address onewirebus.Address, command byte) []byte {
	w := []byte{matchAddress}
	for i := range 8 {
		w = append(w, byte(address>>(8*i)))
	}
	return append(w, command)
}

// shorted and silent are faults of the line, as periph's callers know them.
type (
	shorted struct{}
	silent  struct{}
)

func (shorted) Error() string   { return "the line is held low" }
func (shorted) IsShorted() bool { return true }
func (shorted) BusError() bool  { return true }
func (silent) Error() string    { return "no probe answers on the line" }
func (silent) BusError() bool   { return true }
