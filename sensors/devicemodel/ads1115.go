package devicemodel

import (
	"encoding/binary"
	"fmt"
	"math"
	"sync"
	"time"

	"duskloop/sensors/quantity"
)

// The ADS1115's registers and bits (TI, ADS1115 data sheet, SBAS444D, "Register
// Map"): the pointer's values, the start bit, and the places of input, gain and rate.
const (
	adcConversion, adcConfig, adcRegisters = 0, 1, 4

	adcPowerOn = 0x8583 // idle, AIN0 against AIN1, ±2.048 V, single shot, 128 a second
	adcStart   = 1 << 15
)

// Full scale in volts by the gain's three bits, and conversions a second by the
// rate's (same source).
var (
	adcFull  = [8]float64{6.144, 4.096, 2.048, 1.024, 0.512, 0.256, 0.256, 0.256}
	adcRates = [8]float64{8, 16, 32, 64, 128, 250, 475, 860}
)

// ADS1115 is a converter of four inputs. Its clock is slow by as much as the data
// sheet allows, 10 %: a driver that counts on the nominal time reads the last result.
type ADS1115 struct {
	mu      sync.Mutex
	inputs  [4]quantity.Volt
	pointer byte
	config  uint16
	others  [adcRegisters]uint16 // thresholds, kept and not used
	result  int16
	next    int16
	ready   time.Time
}

// NewADS1115 is a converter just powered on.
func NewADS1115() *ADS1115 { return &ADS1115{config: adcPowerOn} }

// Set is the voltage at an input, 0 to 3, from now on.
func (a *ADS1115) Set(input int, volts quantity.Volt) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.inputs[input] = volts
}

// Transfer implements Part: the first byte written selects a register, two more
// write it; a read gives the selected register, high byte first.
func (a *ADS1115) Transfer(w, r []byte) error {
	a.mu.Lock()
	defer a.mu.Unlock()
	if len(w) == 2 || len(w) > 3 || len(r) == 1 || len(r) > 2 {
		return fmt.Errorf("ads1115 model: transfer of %d and %d bytes", len(w), len(r))
	}
	if len(w) > 0 {
		if w[0] >= adcRegisters {
			return fmt.Errorf("ads1115 model: no register %d", w[0])
		}
		a.pointer = w[0]
	}
	a.finish()
	if len(w) == 3 {
		a.write(binary.BigEndian.Uint16(w[1:]))
	}
	if len(r) == 2 {
		binary.BigEndian.PutUint16(r, a.read())
	}
	return nil
}

func (a *ADS1115) write(v uint16) {
	switch {
	case a.pointer == adcConversion: // read only
	case a.pointer != adcConfig:
		a.others[a.pointer] = v
	case a.converting(): // a start has no effect while one is under way
	default:
		a.config = v &^ adcStart
		if v&adcStart != 0 {
			a.start()
		}
	}
}

func (a *ADS1115) read() uint16 {
	switch a.pointer {
	case adcConversion:
		return uint16(a.result)
	case adcConfig:
		if a.converting() {
			return a.config &^ adcStart
		}
		return a.config | adcStart
	}
	return a.others[a.pointer]
}

// start takes the inputs' voltage; the result is there when the conversion is over.
func (a *ADS1115) start() {
	mux, gain, rate := a.config>>12&7, a.config>>9&7, a.config>>5&7
	var volts float64
	if mux >= 4 {
		volts = float64(a.inputs[mux-4])
	} else {
		pairs := [4][2]int{{0, 1}, {0, 3}, {1, 3}, {2, 3}}
		volts = float64(a.inputs[pairs[mux][0]] - a.inputs[pairs[mux][1]])
	}
	steps := math.Round(volts / adcFull[gain] * 32768)
	a.next = int16(max(-32768, min(32767, steps)))
	const slow = 1.1
	a.ready = time.Now().Add(time.Duration(slow / adcRates[rate] * float64(time.Second)))
}

func (a *ADS1115) converting() bool { return time.Now().Before(a.ready) }

func (a *ADS1115) finish() {
	if !a.ready.IsZero() && !a.converting() {
		a.result, a.ready = a.next, time.Time{}
	}
}
