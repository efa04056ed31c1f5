package devicemodel

import (
	"fmt"
	"sync"
	"syscall"

	"periph.io/x/conn/v3/physic"
)

// Part is a device on an I²C bus: it takes the bytes written to it and fills
// the bytes read, in one transaction.
type Part interface {
	Transfer(w, r []byte) error
}

// I2C is a bus with parts on it. It has the methods of periph's i2c.Bus.
type I2C struct {
	mu    sync.Mutex
	parts map[uint16]Part
}

// NewI2C is a bus with nothing on it.
func NewI2C() *I2C { return &I2C{parts: make(map[uint16]Part)} }

// Attach puts part at an address, in place of any other.
func (b *I2C) Attach(address uint16, part Part) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.parts[address] = part
}

// Detach takes the part at an address off the bus.
func (b *I2C) Detach(address uint16) {
	b.mu.Lock()
	defer b.mu.Unlock()
	delete(b.parts, address)
}

// String names the bus.
func (b *I2C) String() string { return "modelled I2C" }

// SetSpeed accepts any speed.
func (b *I2C) SetSpeed(physic.Frequency) error { return nil }

// Tx is one transaction. An address that nobody acknowledges gives ENXIO, as
// the kernel's adapters do.
func (b *I2C) Tx(address uint16, w, r []byte) error {
	b.mu.Lock()
	part, ok := b.parts[address]
	b.mu.Unlock()
	if !ok {
		return fmt.Errorf("i2c address %#x: %w", address, syscall.ENXIO)
	}
	return part.Transfer(w, r)
}
