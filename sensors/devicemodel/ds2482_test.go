package devicemodel_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"periph.io/x/conn/v3/onewire"
	"periph.io/x/devices/v3/ds248x"

	"duskloop/sensors/devicemodel"
)

// The model against a driver that is not ours: periph's sets it up, searches the line
// and finds every probe with a sound address.
func TestBridgeIsFoundAndSearched(t *testing.T) {
	t.Parallel()
	bus, line := devicemodel.NewI2C(), devicemodel.NewOneWire(0)
	bridge := devicemodel.NewDS2482(line)
	bridge.Hurry() // the driver gives up after a time of its own, which a busy machine oversleeps
	bus.Attach(0x18, bridge)
	wanted := map[onewire.Address]bool{}
	for _, serial := range []uint64{0x0000a17c4e01, 0x0000a17c4e03, 0x8000a17c4e01, 1} {
		line.Attach(0x28, serial, devicemodel.NewDS18B20())
		bytes := []byte{0x28}
		for i := range 6 {
			bytes = append(bytes, byte(serial>>(8*i)))
		}
		wanted[onewire.Address(0x28|serial<<8|uint64(onewire.CalcCRC(bytes))<<56)] = true
	}
	options := ds248x.DefaultOpts
	chip, err := ds248x.New(bus, 0x18, &options)
	require.NoError(t, err)
	found, err := chip.Search(false)
	require.NoError(t, err)
	require.Len(t, found, len(wanted))
	for _, a := range found {
		assert.True(t, wanted[a], "%#x", a)
	}
}

func TestBridgeRefusesWhatItDoesNotKnow(t *testing.T) {
	t.Parallel()
	d := devicemodel.NewDS2482(devicemodel.NewOneWire(0))
	require.Error(t, d.Transfer([]byte{0xB4}, nil), "a line reset before it is configured")
	require.Error(t, d.Transfer([]byte{0xD2, 0xFF}, nil), "a configuration that is not its own complement")
	require.NoError(t, d.Transfer([]byte{0xD2, 0xE1}, nil))
	require.NoError(t, d.Transfer([]byte{0xB4}, nil))
	require.Error(t, d.Transfer([]byte{0xA5, 0xCC}, nil), "while the line is busy with the reset")
	require.Error(t, d.Transfer([]byte{0x77}, nil))
}
