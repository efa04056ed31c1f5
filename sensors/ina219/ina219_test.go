package ina219_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/i2c/i2ctest"
	"pgregory.net/rapid"

	"duskloop/sensors"
	"duskloop/sensors/devicemodel"
	"duskloop/sensors/ina219"
	"duskloop/sensors/quantity"
)

// The device model is a bus for periph's drivers.
var _ i2c.Bus = (*devicemodel.I2C)(nil)

// shunt is the resistor on the usual breakout board.
const shunt quantity.Ohm = 0.1

// setUp is what the driver writes first: calibration for a full scale of
// 320 mV (0.04096 / (3.2 A / 32768 · 0.1 Ω) = 4194, data sheet section 8.5.1),
// then 16 V range, ±320 mV, 128 samples of each, continuous.
var setUp = []i2ctest.IO{
	{Addr: 0x40, W: []byte{0x05, 0x10, 0x62}},
	{Addr: 0x40, W: []byte{0x00, 0x1F, 0xFF}},
}

// sample is one reading of all four measured registers.
func sample(shunt, bus, current, power uint16) []i2ctest.IO {
	read := func(register byte, value uint16) i2ctest.IO {
		return i2ctest.IO{Addr: 0x40, W: []byte{register}, R: []byte{byte(value >> 8), byte(value)}}
	}
	return []i2ctest.IO{read(1, shunt), read(2, bus), read(4, current), read(3, power)}
}

// played reads once from a tape of exactly these operations.
func played(t *testing.T, s ina219.Settings, ops ...i2ctest.IO) sensors.Power {
	t.Helper()
	bus := &i2ctest.Playback{Ops: ops, DontPanic: true}
	meter, err := ina219.New(bus, s)
	require.NoError(t, err)
	got := meter.Read(t.Context())
	require.NoError(t, bus.Close(), "operations left over")
	return got
}

// TestReadTape reads register contents worked out by hand from the data sheet's
// steps: 10 µV over the shunt and 4 mV of battery in bits 15 to 3.
func TestReadTape(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name       string
		shunt, bus uint16
		reversed   bool
		volts      quantity.Volt
		amps       quantity.Ampere
	}{
		{"charging 1 A at 12.6 V", 10000, 3150 << 3, false, 12.6, 1},
		{"drawing 1 A at 12.6 V", 0xD8F0, 3150 << 3, false, 12.6, -1},
		{"the same, shunt turned round", 0xD8F0, 3150 << 3, true, 12.6, 1},
		{"smallest step", 1, 3150<<3 | 2, false, 12.6, 0.0001},
		{"at rest", 0, 3000 << 3, false, 12, 0},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			ops := append(append([]i2ctest.IO{}, setUp...), sample(row.shunt, row.bus, 0, 0)...)
			got := played(t, ina219.Settings{Shunt: shunt, Reversed: row.reversed}, ops...)
			require.NoError(t, got.Err)
			assert.Equal(t, sensors.Good, got.Cause)
			assert.InDelta(t, float64(row.volts), float64(got.Volts), 1e-9)
			assert.InDelta(t, float64(row.amps), float64(got.Amps), 1e-9)
			assert.False(t, got.At.IsZero())
		})
	}
}

func TestTapeRefusesTheUnexpected(t *testing.T) {
	t.Parallel()
	got := played(t, ina219.Settings{Shunt: shunt}, setUp...)
	assert.Equal(t, sensors.Failed, got.Cause)
	assert.ErrorContains(t, got.Err, "unexpected Tx", "the bus's own words come through")
}

func TestSettings(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name     string
		settings ina219.Settings
		says     string
	}{
		{"usual board", ina219.Settings{Shunt: shunt}, ""},
		{"other address", ina219.Settings{Shunt: shunt, Address: 0x4f}, ""},
		{"address beyond the chip's", ina219.Settings{Shunt: shunt, Address: 0x50}, "address 0x50"},
		{"no shunt", ina219.Settings{}, "shunt of 0 ohm"},
		{"negative shunt", ina219.Settings{Shunt: -0.1}, "shunt of -0.1 ohm"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			_, err := ina219.New(devicemodel.NewI2C(), row.settings)
			if row.says == "" {
				assert.NoError(t, err)
			} else {
				assert.ErrorContains(t, err, row.says)
			}
		})
	}
	assert.InDelta(t, 3.2, float64(ina219.Settings{Shunt: shunt}.Most()), 1e-9)
}

// modelled is a driver on a modelled part.
func modelled(t require.TestingT, s ina219.Settings) (*ina219.Meter, *devicemodel.INA219, *devicemodel.I2C) {
	bus, part := devicemodel.NewI2C(), devicemodel.NewINA219(s.Shunt)
	bus.Attach(0x40, part)
	meter, err := ina219.New(bus, s)
	require.NoError(t, err)
	return meter, part, bus
}

// TestReadModel: the driver gives back what the part was set to, to within half
// a step, for any battery and any shunt in use.
func TestReadModel(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := ina219.Settings{
			Shunt:    quantity.Ohm(rapid.SampledFrom([]float64{0.1, 0.05, 0.01, 0.002, 0.00075}).Draw(t, "shunt")),
			Reversed: rapid.Bool().Draw(t, "reversed"),
		}
		meter, part, _ := modelled(t, s)
		volts := quantity.Volt(rapid.Float64Range(0, 15.9).Draw(t, "volts"))
		amps := quantity.Ampere(rapid.Float64Range(-0.99, 0.99).Draw(t, "share") * float64(s.Most()))
		part.Set(volts, amps)
		got := meter.Read(t.Context())
		require.NoError(t, got.Err)
		if s.Reversed {
			amps = -amps
		}
		assert.InDelta(t, float64(volts), float64(got.Volts), 0.00201)
		assert.InDelta(t, float64(amps), float64(got.Amps), 0.00000501/float64(s.Shunt))
	})
}

// TestReadSurvivesPowerCycle: the part forgets its calibration without a word.
// Its current register then reads zero; ours must not.
func TestReadSurvivesPowerCycle(t *testing.T) {
	t.Parallel()
	meter, part, _ := modelled(t, ina219.Settings{Shunt: shunt})
	part.Set(12.8, -1.5)
	require.NoError(t, meter.Read(t.Context()).Err)
	part.PowerCycle()
	got := meter.Read(t.Context())
	require.NoError(t, got.Err)
	assert.InDelta(t, -1.5, float64(got.Amps), 0.0001)
	assert.InDelta(t, 12.8, float64(got.Volts), 0.004)
}

func TestReadEndOfRange(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name  string
		volts quantity.Volt
		amps  quantity.Ampere
	}{
		{"battery of 24 V", 25, 0},
		{"charging beyond the shunt", 12, 4},
		{"drawing beyond the shunt", 12, -4},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			meter, part, _ := modelled(t, ina219.Settings{Shunt: shunt})
			part.Set(row.volts, row.amps)
			got := meter.Read(t.Context())
			assert.Equal(t, sensors.OutOfRange, got.Cause, "%v", got.Err)
			assert.ErrorContains(t, got.Err, "end of the range")
		})
	}
}

// TestReadComesAndGoes: absent at the start, plugged in, unplugged, back.
func TestReadComesAndGoes(t *testing.T) {
	t.Parallel()
	meter, part, bus := modelled(t, ina219.Settings{Shunt: shunt})
	part.Set(12.6, 0.5)
	for range 2 {
		bus.Detach(0x40)
		gone := meter.Read(t.Context())
		assert.Equal(t, sensors.NothingThere, gone.Cause)
		require.ErrorIs(t, gone.Err, sensors.ErrNothingThere)
		bus.Attach(0x40, part)
		assert.Equal(t, sensors.Good, meter.Read(t.Context()).Cause)
	}
}

// faulty fails every transaction.
type faulty struct{ *devicemodel.I2C }

var errBus = errors.New("arbitration lost")

func (faulty) Tx(uint16, []byte, []byte) error { return errBus }

func TestReadKeepsTheCause(t *testing.T) {
	t.Parallel()
	meter, err := ina219.New(faulty{devicemodel.NewI2C()}, ina219.Settings{Shunt: shunt})
	require.NoError(t, err)
	got := meter.Read(t.Context())
	assert.Equal(t, sensors.Failed, got.Cause)
	require.ErrorIs(t, got.Err, errBus)
	assert.ErrorContains(t, got.Err, "reading battery meter at 0x40")
}
