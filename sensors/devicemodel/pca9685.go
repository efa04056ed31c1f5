package devicemodel

import (
	"fmt"
	"sync"
)

// The PCA9685's registers and bits (NXP, PCA9685 data sheet rev. 4, table 4 "Register
// summary", tables 5 to 8).
const (
	pwmMode1, pwmMode2   = 0x00, 0x01
	pwmFirst, pwmLast    = 0x06, 0x45 // four bytes for each of 16 outputs
	pwmAll, pwmPrescale  = 0xFA, 0xFE
	bitRestart, bitSleep = 1 << 7, 1 << 4
	bitIncrement         = 1 << 5
	bitFull              = 1 << 4 // of a high byte: on or off all the time
)

// PCA9685 is a generator of pulses on 16 outputs.
type PCA9685 struct {
	mu        sync.Mutex
	registers [256]byte
	pointer   byte
}

// NewPCA9685 is a generator just powered on: asleep, every output off.
func NewPCA9685() *PCA9685 {
	p := &PCA9685{}
	p.PowerCycle()
	return p
}

// PowerCycle loses what was written to it.
func (p *PCA9685) PowerCycle() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.registers, p.pointer = [256]byte{}, 0
	p.registers[pwmMode1], p.registers[pwmMode2], p.registers[pwmPrescale] = bitSleep|1, 1<<2, 0x1E
	for at := pwmFirst; at <= pwmLast; at += 4 {
		p.registers[at+3] = bitFull
	}
}

// Duty is what an output, 0 to 15, gives: the share of the time it is high. Asleep it
// gives nothing.
func (p *PCA9685) Duty(output int) float64 {
	p.mu.Lock()
	defer p.mu.Unlock()
	r := p.registers[pwmFirst+4*output:][:4]
	switch {
	case p.registers[pwmMode1]&bitSleep != 0 || r[3]&bitFull != 0:
		return 0
	case r[1]&bitFull != 0:
		return 1
	}
	on, off := int(r[0])|int(r[1]&0x0F)<<8, int(r[2])|int(r[3]&0x0F)<<8
	return float64((off-on+4096)%4096) / 4096
}

// Hertz is how often the outputs repeat.
func (p *PCA9685) Hertz() float64 {
	p.mu.Lock()
	defer p.mu.Unlock()
	return 25e6 / 4096 / (float64(p.registers[pwmPrescale]) + 1)
}

// Transfer implements Part: the first byte selects a register, more are written, to the
// same or, where that is set, to the following ones.
func (p *PCA9685) Transfer(w, r []byte) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(w) > 0 {
		p.pointer = w[0]
		for _, b := range w[1:] {
			if err := p.write(b); err != nil {
				return err
			}
			p.next()
		}
	}
	for i := range r {
		r[i] = p.registers[p.pointer]
		p.next()
	}
	return nil
}

func (p *PCA9685) next() {
	if p.registers[pwmMode1]&bitIncrement != 0 {
		p.pointer++
	}
}

func (p *PCA9685) write(b byte) error {
	at := p.pointer
	switch {
	case at == pwmMode1:
		b &^= bitRestart // cleared by writing it
	case at == pwmPrescale && p.registers[pwmMode1]&bitSleep == 0:
		return nil // takes effect only asleep
	case at >= pwmAll && at < pwmPrescale:
		for first := pwmFirst; first <= pwmLast; first += 4 {
			p.registers[first+int(at-pwmAll)] = b
		}
	case at > pwmLast && at < pwmAll:
		return fmt.Errorf("pca9685 model: no register %#x", at)
	}
	p.registers[at] = b
	return nil
}
