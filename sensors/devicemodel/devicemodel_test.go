package devicemodel_test

import (
	"sync"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/devicemodel"
	"duskloop/sensors/quantity"
)

// register reads one register of the part at 0x40.
func register(t *testing.T, bus *devicemodel.I2C, number byte) uint16 {
	t.Helper()
	var r [2]byte
	require.NoError(t, bus.Tx(0x40, []byte{number}, r[:]))
	return uint16(r[0])<<8 | uint16(r[1])
}

func write(t *testing.T, bus *devicemodel.I2C, number byte, value uint16) {
	t.Helper()
	require.NoError(t, bus.Tx(0x40, []byte{number, byte(value >> 8), byte(value)}, nil))
}

// meter is a modelled part of 0.1 ohm on a bus.
func meter() (*devicemodel.I2C, *devicemodel.INA219) {
	bus, part := devicemodel.NewI2C(), devicemodel.NewINA219(0.1)
	bus.Attach(0x40, part)
	return bus, part
}

func TestINA219PowerOn(t *testing.T) {
	t.Parallel()
	bus, part := meter()
	part.Set(12, 1)
	assert.EqualValues(t, 0x399F, register(t, bus, 0), "configuration, data sheet section 8.6")
	assert.EqualValues(t, 10000, register(t, bus, 1))
	assert.EqualValues(t, 3000<<3|2, register(t, bus, 2), "4 mV steps, conversion ready")
	assert.Zero(t, register(t, bus, 3), "no power without calibration")
	assert.Zero(t, register(t, bus, 4), "no current without calibration")
	assert.Zero(t, register(t, bus, 5))
}

// TestINA219DatasheetExample is the worked example of TI's data sheet, SBOS448F,
// "Configure/Measure/Calculate Example", table 3: a load of 10 A through 2 mΩ,
// 12 V before it, configuration 019F, calibration 5000.
func TestINA219DatasheetExample(t *testing.T) {
	t.Parallel()
	bus, part := devicemodel.NewI2C(), devicemodel.NewINA219(0.002)
	bus.Attach(0x40, part)
	part.Set(11.98, 10)
	write(t, bus, 0, 0x019F)
	write(t, bus, 5, 0x5000)
	assert.EqualValues(t, 0x07D0, register(t, bus, 1), "shunt")
	assert.EqualValues(t, 0x0BB3, register(t, bus, 2)>>3, "bus")
	assert.EqualValues(t, 0x2710, register(t, bus, 4), "current")
	assert.EqualValues(t, 0x1766, register(t, bus, 3), "power")
	assert.Zero(t, register(t, bus, 2)&1, "no overflow")
}

func TestINA219Limits(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name   string
		config uint16
		shunt  int16
		bus    uint16
	}{
		{"40 mV, 16 V", 0x0000, 4000, 4000},
		{"80 mV, 16 V", 0x0800, 8000, 4000},
		{"160 mV, 32 V", 0x3000, 16000, 8000},
		{"320 mV, 32 V", 0x3800, 32000, 8000},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			bus, part := meter()
			write(t, bus, 0, row.config)
			part.Set(40, 10)
			assert.Equal(t, row.shunt, int16(register(t, bus, 1)))
			assert.Equal(t, row.bus, register(t, bus, 2)>>3)
			part.Set(-1, -10)
			assert.Equal(t, -row.shunt, int16(register(t, bus, 1)))
			assert.Zero(t, register(t, bus, 2)>>3)
		})
	}
}

func TestINA219OverflowAndReset(t *testing.T) {
	t.Parallel()
	bus, part := meter()
	part.Set(12, 3)
	write(t, bus, 5, 0xFFFF)
	assert.EqualValues(t, 0xFFFE, register(t, bus, 5), "the lowest bit stays clear")
	assert.EqualValues(t, 1, register(t, bus, 2)&1, "current does not fit")
	write(t, bus, 1, 7)
	assert.EqualValues(t, 30000, register(t, bus, 1), "measured registers cannot be written")
	write(t, bus, 0, 0x8000)
	assert.EqualValues(t, 0x399F, register(t, bus, 0), "reset")
	assert.Zero(t, register(t, bus, 5))
}

func TestINA219PointerStays(t *testing.T) {
	t.Parallel()
	bus, part := meter()
	part.Set(12, 1)
	require.NoError(t, bus.Tx(0x40, []byte{1}, nil))
	var r [2]byte
	require.NoError(t, bus.Tx(0x40, nil, r[:]))
	assert.Equal(t, [2]byte{0x27, 0x10}, r)
	assert.ErrorContains(t, bus.Tx(0x40, []byte{6}, r[:]), "no register 6")
	assert.ErrorContains(t, bus.Tx(0x40, []byte{1, 2}, nil), "transfer of 2 and 0 bytes")
}

func TestI2CNobodyThere(t *testing.T) {
	t.Parallel()
	bus, _ := meter()
	require.ErrorIs(t, bus.Tx(0x41, []byte{0}, nil), syscall.ENXIO)
	bus.Detach(0x40)
	require.ErrorIs(t, bus.Tx(0x40, []byte{0}, nil), syscall.ENXIO)
}

// TestINA219Concurrent gives the race detector something to find.
func TestINA219Concurrent(t *testing.T) {
	t.Parallel()
	bus, part := meter()
	var wg sync.WaitGroup
	wg.Go(func() {
		for i := range 100 {
			part.Set(12, 0.01)
			if i%10 == 0 {
				part.PowerCycle()
			}
		}
	})
	wg.Go(func() {
		for range 100 {
			var r [2]byte
			assert.NoError(t, bus.Tx(0x40, []byte{2}, r[:]))
		}
	})
	wg.Wait()
}

// TestDS18B20Memory: the power-on contents are those of a genuine part (Petrich,
// counterfeit_DS18B20, family A: 50/05/4B/46/7F/FF/0C/10/1C), and after every
// conversion its low byte and sixth byte add up to a multiple of 16 (ibid.).
func TestDS18B20Memory(t *testing.T) {
	t.Parallel()
	probe := devicemodel.NewDS18B20()
	powerOn := [9]byte{0x50, 0x05, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10, 0x1C}
	assert.Equal(t, powerOn, probe.Scratchpad())
	for i := range 16 {
		probe.Set(quantity.Celsius(i) / 16)
		probe.Convert()
		pad := probe.Scratchpad()
		assert.Zero(t, (pad[0]+pad[6])&0x0F)
		assert.NotZero(t, pad[6])
		assert.LessOrEqual(t, pad[6], byte(0x10))
		assert.Equal(t, devicemodel.CRC(pad[:8]), pad[8])
	}
	probe.Set(200)
	probe.Convert()
	pad := probe.Scratchpad()
	assert.Equal(t, []byte{0xD0, 0x07}, pad[:2], "125 °C, the end of its range")
	probe.PowerCycle()
	assert.Equal(t, powerOn, probe.Scratchpad())
}

func TestSlaveText(t *testing.T) {
	t.Parallel()
	probe := devicemodel.NewDS18B20()
	good := probe.Scratchpad()
	assert.Equal(t, "50 05 4b 46 7f ff 0c 10 1c : crc=1c YES\n50 05 4b 46 7f ff 0c 10 1c t=85000\n",
		devicemodel.SlaveText(good, [9]byte{}))
	bad := good
	bad[0] = 0x51
	assert.Equal(t, "51 05 4b 46 7f ff 0c 10 1c : crc=5f NO\n50 05 4b 46 7f ff 0c 10 1c t=85062\n",
		devicemodel.SlaveText(bad, good))
}
