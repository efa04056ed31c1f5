package devicemodel

import (
	"fmt"
	"math"
	"sync"

	"duskloop/sensors/quantity"
)

// DS18B20 is the memory of a genuine temperature probe: what it holds at
// power-on and what a conversion leaves in it (DS18B20 datasheet; the sixth
// byte after Petrich, github.com/cpetrich/counterfeit_DS18B20, family A).
type DS18B20 struct {
	mu     sync.Mutex
	value  quantity.Celsius
	memory [9]byte
}

// NewDS18B20 is a probe just powered on, at 20 °C and 12 bit.
func NewDS18B20() *DS18B20 {
	d := &DS18B20{value: 20}
	d.PowerCycle()
	return d
}

// Set is the temperature around the probe from now on.
func (d *DS18B20) Set(value quantity.Celsius) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.value = value
}

// PowerCycle puts the power-on contents back: 85 °C, measured by nobody.
func (d *DS18B20) PowerCycle() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.memory = [9]byte{0x50, 0x05, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10}
	d.seal()
}

// Convert measures: sixteenths of a degree within the part's -55 to 125 °C.
func (d *DS18B20) Convert() {
	d.mu.Lock()
	defer d.mu.Unlock()
	raw := uint16(int16(math.Round(float64(max(-55, min(125, d.value))) * 16)))
	d.memory[0], d.memory[1] = byte(raw), byte(raw>>8)
	d.memory[6] = 0x10 - d.memory[0]&0x0F
	d.seal()
}

// Scratchpad is the memory as a read gives it.
func (d *DS18B20) Scratchpad() [9]byte {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.memory
}

// seal puts the checksum into the last byte.
func (d *DS18B20) seal() { d.memory[8] = CRC(d.memory[:8]) }

// CRC is the 1-Wire checksum as the hardware works it out: a shift register of
// eight bits with taps after x⁴ and x⁵, fed bit by bit. It is written
// differently from the driver's on purpose, so that each checks the other.
func CRC(data []byte) byte {
	var register [8]bool // register[0] is x⁰
	for _, b := range data {
		for i := range 8 {
			in := b>>i&1 == 1
			back := in != register[7]
			copy(register[1:], register[:7])
			register[0] = back
			register[4] = register[4] != back
			register[5] = register[5] != back
		}
	}
	var sum byte
	for i, set := range register {
		if set {
			sum |= 0x80 >> i
		}
	}
	return sum
}

// SlaveText is the text of the kernel's w1_slave file for the memory just read
// and the last memory read whole, which the second line shows. Its figure is
// this read's all the same (Linux drivers/w1/slaves/w1_therm.c, w1_slave_show).
func SlaveText(read, retained [9]byte) string {
	sum := CRC(read[:8])
	verdict := "NO"
	if sum == read[8] {
		verdict, retained = "YES", read
	}
	raw := int(int16(uint16(read[1])<<8 | uint16(read[0])))
	return fmt.Sprintf("% x : crc=%02x %s\n% x t=%d\n", read[:], sum, verdict, retained[:], raw*1000/16)
}
