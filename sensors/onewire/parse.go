package onewire

import (
	"encoding/hex"
	"fmt"
	"strconv"
	"strings"

	"duskloop/sensors"
	"duskloop/sensors/quantity"
)

// Scratchpad is a probe's nine bytes of memory (DS18B20 datasheet, "Memory"):
// temperature low and high, two alarm bytes, configuration, three reserved
// bytes, checksum.
type Scratchpad [9]byte

// The bytes of a scratchpad that are looked at.
const (
	configByte   = 4
	reservedByte = 6
	crcByte      = 8
)

// Values that a probe gives instead of a measurement.
const (
	// powerOnRaw is 85 °C, the temperature register after a power-on reset
	// (datasheet). With powerOnMark in the reserved byte no measurement has
	// happened; a genuine part that measured 85 °C shows 0x10 there
	// (w1_therm.rst, "features"; Petrich for the 0x10).
	powerOnRaw  = 0x0550
	powerOnMark = 0x0C
	// lowPowerRaw is 127.94 °C: the supply failed during the conversion
	// (w1_therm.rst). It lies beyond the part's 125 °C, so no mark is needed.
	lowPowerRaw = 0x07FF
	// missingRaw is -127 °C, beyond the part's -55 °C: no measurement but the
	// mark by which some adapters say that nothing answered.
	missingRaw = -127 * 16
)

// Raw is the temperature register in sixteenths of a degree. At less than 12
// bits of resolution the lowest bits are undefined by the datasheet; genuine
// parts keep them zero.
func (s Scratchpad) Raw() int16 { return int16(uint16(s[1])<<8 | uint16(s[0])) }

// Value is the temperature register in degrees.
func (s Scratchpad) Value() quantity.Celsius { return quantity.Celsius(s.Raw()) / 16 }

// Sound says whether the checksum is right.
func (s Scratchpad) Sound() bool { return CRC8(s[:crcByte]) == s[crcByte] }

// Parse reads the text of a w1_slave file. The scratchpad is the first line's,
// which is this read's; the second line repeats the last sound one. The cause
// is Good only for a whole measurement; PowerOn still has a meaningful value.
func Parse(text string) (Scratchpad, sensors.Cause, error) {
	if strings.TrimSpace(text) == "" {
		return Scratchpad{}, sensors.Empty, fmt.Errorf("empty answer: probe silent or checksum wrong")
	}
	first, second, _ := strings.Cut(text, "\n")
	pad, verdict, err := parseBytes(first)
	if err != nil {
		return Scratchpad{}, sensors.Failed, err
	}
	if cause, err := pad.integrity(verdict); err != nil {
		return pad, cause, err
	}
	if err := pad.agrees(second); err != nil {
		return pad, sensors.Failed, err
	}
	cause, err := pad.meaning()
	return pad, cause, err
}

// Cause says what the scratchpad is worth, as Parse does: Good only for a whole
// measurement; PowerOn still has a meaningful value. The error has the details.
func (s Scratchpad) Cause() (sensors.Cause, error) {
	if cause, err := s.integrity(true); err != nil {
		return cause, err
	}
	return s.meaning()
}

// parseBytes reads "50 05 4b 46 7f ff 0c 10 1c : crc=1c YES".
func parseBytes(line string) (pad Scratchpad, verdict bool, err error) {
	fields := strings.Fields(line)
	if len(fields) != len(pad)+3 || fields[9] != ":" || !strings.HasPrefix(fields[10], "crc=") {
		return pad, false, fmt.Errorf("first line %q is not nine bytes and a checksum", line)
	}
	for i := range pad {
		b, err := hex.DecodeString(fields[i])
		if err != nil || len(b) != 1 {
			return pad, false, fmt.Errorf("byte %d of %q is not two hexadecimal digits", i, line)
		}
		pad[i] = b[0]
	}
	switch fields[11] {
	case "YES":
		return pad, true, nil
	case "NO":
		return pad, false, nil
	}
	return pad, false, fmt.Errorf("first line %q ends neither in YES nor in NO", line)
}

// integrity tells a broken line from a broken transfer. The order matters: a
// line that reads all ones or all zeros says more than a checksum.
func (s Scratchpad) integrity(verdict bool) (sensors.Cause, error) {
	ones := true
	for _, b := range s {
		ones = ones && b == 0xFF
	}
	switch {
	case ones:
		return sensors.AllOnes, fmt.Errorf("every byte is ff: nothing drives the line")
	case !verdict || !s.Sound():
		return sensors.BadCRC, fmt.Errorf("checksum %02x, not %02x", s[crcByte], CRC8(s[:crcByte]))
	case s[configByte] == 0:
		return sensors.StuckLow, fmt.Errorf("configuration byte is 00: line held low (% x)", s[:])
	}
	return sensors.Good, nil
}

// agrees checks the kernel's own figure on the second line against the bytes.
// It may differ by less than one step: the kernel drops what is below a
// thousandth, and some copies have finer steps in other bytes.
func (s Scratchpad) agrees(line string) error {
	_, figure, ok := strings.Cut(line, "t=")
	if !ok {
		return fmt.Errorf("second line %q has no t=", line)
	}
	milli, err := strconv.Atoi(strings.TrimSpace(figure))
	if err != nil {
		return fmt.Errorf("second line %q: %w", line, err)
	}
	const step = 1000.0 / 16
	if off := float64(milli) - float64(s.Raw())*step; off <= -step || off >= step {
		return fmt.Errorf("kernel says t=%d, scratchpad says %v", milli, s.Value())
	}
	return nil
}

// meaning tells a measurement from the values that stand for the lack of one.
func (s Scratchpad) meaning() (sensors.Cause, error) {
	switch {
	case s.Raw() == lowPowerRaw:
		return sensors.LowPower, fmt.Errorf("127.94 °C: supply failed while measuring")
	case s.Raw() == missingRaw:
		return sensors.AllOnes, fmt.Errorf("-127 °C: adapter had no answer from the probe")
	case s.Raw() == powerOnRaw && s[reservedByte] == powerOnMark:
		return sensors.PowerOn, fmt.Errorf("85 °C with byte 6 at %02x: nothing measured since power-on", powerOnMark)
	}
	return sensors.Good, nil
}
