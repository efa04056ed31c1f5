package ads1115_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"periph.io/x/conn/v3/i2c"

	"duskloop/sensors"
	"duskloop/sensors/ads1115"
	"duskloop/sensors/devicemodel"
	"duskloop/sensors/quantity"
)

func bench(t *testing.T, s ads1115.Settings) (*devicemodel.I2C, *devicemodel.ADS1115, *ads1115.Meter) {
	t.Helper()
	bus, part := devicemodel.NewI2C(), devicemodel.NewADS1115()
	bus.Attach(0x48, part)
	m, err := ads1115.New(bus, s)
	require.NoError(t, err)
	return bus, part, m
}

func TestVoltsBehindADivider(t *testing.T) {
	t.Parallel()
	_, part, m := bench(t, ads1115.Settings{Input: 2, Ratio: 11})
	for _, volts := range []float64{0, 10.5, 12.64, 14.4} {
		part.Set(2, quantity.Volt(volts/11))
		p := m.Read(t.Context())
		require.NoError(t, p.Err)
		assert.Equal(t, sensors.Good, p.Cause)
		// 62.5 µV a step at ±2.048 V (SBAS444D), times the divider: 0.7 mV.
		assert.InDelta(t, volts, float64(p.Volts), 0.0004)
		assert.True(t, p.NoAmps)
	}
}

// Two inputs in turn: each gives its own voltage, although the part is slower than the
// driver beneath believes.
func TestSlowConverterMixesNothingUp(t *testing.T) {
	t.Parallel()
	bus, part, battery := bench(t, ads1115.Settings{Input: 0, Ratio: 11})
	panel, err := ads1115.New(bus, ads1115.Settings{Input: 1, Ratio: 21})
	require.NoError(t, err)
	part.Set(0, 12.6/11)
	part.Set(1, 20.0/21)
	for range 5 {
		assert.InDelta(t, 12.6, float64(battery.Read(t.Context()).Volts), 0.001)
		assert.InDelta(t, 20.0, float64(panel.Read(t.Context()).Volts), 0.002)
	}
}

func TestEndOfTheRange(t *testing.T) {
	t.Parallel()
	_, part, m := bench(t, ads1115.Settings{Ratio: 5})
	part.Set(0, 3)
	p := m.Read(t.Context())
	assert.Equal(t, sensors.OutOfRange, p.Cause)
	require.ErrorContains(t, p.Err, "10.24 V or more")
}

func TestWhatCanGoWrong(t *testing.T) {
	t.Parallel()
	bus, part, m := bench(t, ads1115.Settings{Ratio: 11})
	bus.Detach(0x48)
	p := m.Read(t.Context())
	assert.Equal(t, sensors.NothingThere, p.Cause)
	require.ErrorIs(t, p.Err, sensors.ErrNothingThere)
	bus.Attach(0x48, part)
	part.Set(0, 1.1)
	assert.InDelta(t, 12.1, float64(m.Read(t.Context()).Volts), 0.001, "it is found again")

	stuck, err := ads1115.New(neverDone{}, ads1115.Settings{Ratio: 11})
	require.NoError(t, err)
	p = stuck.Read(t.Context()) // gives up by itself
	assert.Equal(t, sensors.Failed, p.Cause)
	require.ErrorContains(t, p.Err, "does not end")
	for _, s := range []ads1115.Settings{{Address: 0x40, Ratio: 2}, {Input: 4, Ratio: 2}, {Ratio: 0.5}} {
		_, err := ads1115.New(bus, s)
		require.Error(t, err)
	}
}

// neverDone is a converter whose busy bit stays.
type neverDone struct{ i2c.Bus }

func (neverDone) Tx(_ uint16, w, r []byte) error {
	if len(w) == 0 {
		return errors.New("not asked")
	}
	clear(r)
	return nil
}
