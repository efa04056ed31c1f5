package ads1115

import (
	"encoding/binary"
	"errors"
	"time"

	"periph.io/x/conn/v3/i2c"
)

// Registers and the bit that says "not converting" (TI, SBAS444D, "Register Map").
const (
	conversion, config = 0x00, 0x01
	idle               = 1 << 15
)

// longest a conversion at the rate in use may take, twice the nominal time.
const longest = 65 * time.Millisecond

var errNeverDone = errors.New("the converter does not end its conversion")

// patient is a bus that answers a read of the result only when the converter has
// ended its conversion.
type patient struct{ i2c.Bus }

// Tx implements i2c.Bus.
func (p *patient) Tx(address uint16, w, r []byte) error {
	if len(w) == 1 && w[0] == conversion && len(r) == 2 {
		if err := p.wait(address); err != nil {
			return err
		}
	}
	return p.Bus.Tx(address, w, r)
}

// wait asks until the converter is idle.
func (p *patient) wait(address uint16) error {
	t := time.NewTicker(time.Millisecond)
	defer t.Stop()
	for end := time.Now().Add(longest); ; <-t.C {
		late := time.Now().After(end) // before asking: a busy computer may have slept since
		var now [2]byte
		if err := p.Bus.Tx(address, []byte{config}, now[:]); err != nil {
			return err
		}
		if binary.BigEndian.Uint16(now[:])&idle != 0 {
			return nil
		}
		if late {
			return errNeverDone
		}
	}
}
