package onewire_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"duskloop/sensors/devicemodel"
	"duskloop/sensors/onewire"
)

func TestCRC8(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name string
		data []byte
		want byte
		from string
	}{
		{"registration number", []byte{0x02, 0x1C, 0xB8, 0x01, 0x00, 0x00, 0x00}, 0xA2,
			"Maxim application note 27, example 2: A2 00 00 00 01 B8 1C 02, family code last"},
		{"check string", []byte("123456789"), 0xA1,
			"catalogue of CRC algorithms, CRC-8/MAXIM-DOW, check value"},
		{"scratchpad at power-on", []byte{0x50, 0x05, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10}, 0x1C,
			"Petrich, counterfeit_DS18B20, family A, initial scratchpad ...0C/10/1C"},
		{"serial of a genuine part", []byte{0x28, 0x13, 0x9B, 0xBB, 0x0B, 0x00, 0x00}, 0x1F,
			"Petrich, counterfeit_DS18B20, family A, example ROM 28-13-9B-BB-0B-00-00-1F"},
		{"line stuck low", make([]byte, 8), 0x00, "by definition: the register starts at zero"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, row.want, onewire.CRC8(row.data), row.from)
		})
	}
}

// TestCRC8AgainstShiftRegister compares two ways to write the same checksum.
func TestCRC8AgainstShiftRegister(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		data := rapid.SliceOf(rapid.Byte()).Draw(t, "data")
		assert.Equal(t, devicemodel.CRC(data), onewire.CRC8(data))
	})
}

// TestCRC8FindsEverySingleBitError is what a checksum is for.
func TestCRC8FindsEverySingleBitError(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		data := rapid.SliceOfN(rapid.Byte(), 8, 8).Draw(t, "data")
		sum := onewire.CRC8(data)
		bit := rapid.IntRange(0, 63).Draw(t, "bit")
		data[bit/8] ^= 1 << (bit % 8)
		assert.NotEqual(t, sum, onewire.CRC8(data))
	})
}
