package devicemodel

import (
	"encoding/binary"
	"fmt"
	"math"
	"sync"

	"duskloop/sensors/quantity"
)

// The INA219's registers in the order of their numbers (TI, INA219 data sheet,
// SBOS448G, section 8.6 "Register Maps"; Linux drivers/hwmon/ina2xx.c agrees).
const (
	regConfig = iota
	regShunt
	regBus
	regPower
	regCurrent
	regCalibration
	registers
)

// Contents, steps and bits (same source; that the calibration's lowest bit
// cannot be set is from memory, unverified).
const (
	inaPowerOn   = 0x399F // 32 V range, ±320 mV, 12 bit, continuous
	shuntStep    = 10e-6  // V
	busStep      = 4e-3   // V, in bits 15..3
	fullBus32    = 8000   // 32 V in steps
	fullBus16    = 4000   // 16 V in steps
	bitReset     = 1 << 15
	bitRange32   = 1 << 13
	bitReady     = 1 << 1 // conversion ready, in the bus register
	bitOverflow  = 1 << 0 // current or power did not fit, in the bus register
	currentScale = 4096
	powerScale   = 5000
)

// INA219 is a battery meter behind a shunt.
type INA219 struct {
	shunt quantity.Ohm

	mu          sync.Mutex
	volts       quantity.Volt
	amps        quantity.Ampere
	pointer     byte
	config      uint16
	calibration uint16
}

// NewINA219 is a meter just powered on, with the given shunt resistor.
func NewINA219(shunt quantity.Ohm) *INA219 {
	return &INA219{shunt: shunt, config: inaPowerOn}
}

// Set is what the meter sees from now on: the voltage on the bus side and the
// current through the shunt, positive from Vin+ to Vin-.
func (m *INA219) Set(volts quantity.Volt, amps quantity.Ampere) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.volts, m.amps = volts, amps
}

// PowerCycle loses what was written to the meter.
func (m *INA219) PowerCycle() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.reset()
}

func (m *INA219) reset() { m.config, m.calibration, m.pointer = inaPowerOn, 0, regConfig }

// Transfer implements Part: the first byte written selects a register, two more
// write it; a read gives the selected register, high byte first.
func (m *INA219) Transfer(w, r []byte) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if len(w) == 2 || len(w) > 3 || len(r) == 1 || len(r) > 2 {
		return fmt.Errorf("ina219 model: transfer of %d and %d bytes", len(w), len(r))
	}
	if len(w) > 0 {
		if w[0] >= registers {
			return fmt.Errorf("ina219 model: no register %d", w[0])
		}
		m.pointer = w[0]
	}
	if len(w) == 3 {
		m.write(binary.BigEndian.Uint16(w[1:]))
	}
	if len(r) == 2 {
		binary.BigEndian.PutUint16(r, m.read())
	}
	return nil
}

// write sets the selected register; measured ones ignore it.
func (m *INA219) write(value uint16) {
	switch m.pointer {
	case regConfig:
		if value&bitReset != 0 {
			m.reset()
			return
		}
		m.config = value
	case regCalibration:
		m.calibration = value &^ 1 // the lowest bit cannot be set
	}
}

// read is the selected register.
func (m *INA219) read() uint16 {
	current, power, overflow := m.computed()
	switch m.pointer {
	case regConfig:
		return m.config
	case regShunt:
		return uint16(m.shuntSteps())
	case regBus:
		bits := m.busSteps()<<3 | bitReady
		if overflow {
			bits |= bitOverflow
		}
		return bits
	case regPower:
		return power
	case regCurrent:
		return uint16(current)
	}
	return m.calibration
}

// shuntSteps is the voltage over the shunt, clipped at the configured gain:
// 40, 80, 160 or 320 mV either way.
func (m *INA219) shuntSteps() int16 {
	gain := m.config >> 11 & 3
	full := float64(int(4000) << gain)
	steps := math.Round(float64(m.amps) * float64(m.shunt) / shuntStep)
	return int16(max(-full, min(full, steps)))
}

// busSteps is the bus voltage, clipped at the configured range.
func (m *INA219) busSteps() uint16 {
	full := float64(fullBus16)
	if m.config&bitRange32 != 0 {
		full = fullBus32
	}
	return uint16(max(0, min(full, math.Round(float64(m.volts)/busStep))))
}

// computed is what the part works out from shunt, bus and calibration. Without
// calibration it is all zero, which looks like a resting battery.
func (m *INA219) computed() (current int16, power uint16, overflow bool) {
	amps := int(m.shuntSteps()) * int(m.calibration) / currentScale
	watts := amps * int(m.busSteps()) / powerScale
	if watts < 0 {
		watts = -watts
	}
	overflow = amps != int(int16(amps)) || watts > math.MaxUint16
	return int16(amps), uint16(watts), overflow
}
