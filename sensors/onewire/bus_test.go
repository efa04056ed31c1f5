package onewire_test

import (
	"cmp"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors"
	"duskloop/sensors/onewire"
	"duskloop/sensors/quantity"
)

// open is a driver on the tree at top.
func open(t *testing.T, top string) *onewire.Bus {
	t.Helper()
	tree, err := onewire.OpenSysfs(top)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, tree.Close()) })
	return onewire.New(tree)
}

func TestReadTrees(t *testing.T) {
	t.Parallel()
	rows := []struct {
		tree  string
		cause sensors.Cause
		value quantity.Celsius // where the cause carries one
		raw   bool
	}{
		{"good", sensors.Good, 51.6875, true},
		{"real-85", sensors.Good, 85, true},
		{"real-0", sensors.Good, 0, true},
		{"real-below-0", sensors.Good, -0.0625, true},
		{"power-on-85", sensors.PowerOn, 85, true},
		{"low-power", sensors.LowPower, 0, true},
		{"stuck-low", sensors.StuckLow, 0, true},
		{"minus-127", sensors.AllOnes, 0, true},
		{"all-ones", sensors.AllOnes, 0, true},
		{"crc-fail", sensors.BadCRC, 0, true},
		{"empty", sensors.Empty, 0, false},
		{"missing", sensors.NothingThere, 0, false},
	}
	for _, row := range rows {
		t.Run(row.tree, func(t *testing.T) {
			t.Parallel()
			bus := open(t, trees+"/"+row.tree)
			bus.Begin(t.Context())
			got := bus.Read(t.Context(), faulty)
			assert.Equal(t, row.cause, got.Cause, "%v: %v", got.Cause, got.Err)
			assert.Equal(t, faulty, got.Probe)
			assert.False(t, got.At.IsZero())
			assert.Equal(t, row.raw, got.HasRaw)
			if row.cause.Quality() != sensors.QualityBad {
				assert.Equal(t, row.value, got.Value)
			}
			if row.cause == sensors.Good {
				assert.NoError(t, got.Err)
			} else {
				assert.ErrorContains(t, got.Err, "reading probe "+faulty)
			}
			other := bus.Read(t.Context(), sound)
			assert.Equal(t, sensors.Good, other.Cause, "the other probe: %v", other.Err)
			assert.Equal(t, quantity.Celsius(18.25), other.Value)
		})
	}
}

func TestNothingThereIsNotFailed(t *testing.T) {
	t.Parallel()
	gone := open(t, trees+"/missing").Read(t.Context(), faulty)
	require.ErrorIs(t, gone.Err, sensors.ErrNothingThere)
	require.ErrorIs(t, gone.Err, os.ErrNotExist)

	noKernel := open(t, t.TempDir()).Read(t.Context(), faulty)
	assert.Equal(t, sensors.Failed, noKernel.Cause)
	assert.ErrorContains(t, noKernel.Err, "no 1-Wire tree")
	assert.NotErrorIs(t, noKernel.Err, sensors.ErrNothingThere)
}

func TestReadRefusesWhatIsNoSerial(t *testing.T) {
	t.Parallel()
	bus := open(t, trees+"/good")
	for _, name := range []string{"", "tank", "../../../devices/w1_bus_master1/" + sound, "28-00000D05C001", "10-00000d05c001"} {
		got := bus.Read(t.Context(), name)
		assert.Equal(t, sensors.Failed, got.Cause, name)
		assert.ErrorContains(t, got.Err, "not the serial", name)
	}
}

// TestBulkOnDisk runs one bulk conversion on a copy of the tree, in real time:
// the plain files stand still, the order of reads and writes is real.
func TestBulkOnDisk(t *testing.T) {
	t.Parallel()
	top := copied(t, "bulk")
	bus := open(t, top)
	bus.Begin(t.Context())
	got := bus.Read(t.Context(), faulty)
	require.NoError(t, got.Err)
	assert.Equal(t, quantity.Celsius(51.6875), got.Value)
	wrote, err := os.ReadFile(top + "/devices/w1_bus_master1/therm_bulk_read")
	require.NoError(t, err)
	assert.Equal(t, "trigger\n", string(wrote))
	masters, err := bus.Masters()
	require.NoError(t, err)
	require.Len(t, masters, 1)
	assert.True(t, masters[0].Bulk)
	assert.NoError(t, masters[0].Err)
	assert.GreaterOrEqual(t, masters[0].Took.Milliseconds(), int64(750))
}

func TestMasters(t *testing.T) {
	t.Parallel()
	masters, err := open(t, trees+"/good").Masters()
	require.NoError(t, err)
	assert.Equal(t, []onewire.Master{{Name: "w1_bus_master1", Probes: []string{faulty, sound}}}, masters)

	_, err = open(t, t.TempDir()).Masters()
	assert.ErrorIs(t, err, os.ErrNotExist)
}

// readsPlausibly is what must hold of any tree with probes on it, made up or
// real: every listed probe is read and is between frost and boiling.
func readsPlausibly(t *testing.T, bus *onewire.Bus) {
	t.Helper()
	masters, err := bus.Masters()
	require.NoError(t, err)
	read := 0
	bus.Begin(t.Context())
	for _, m := range masters {
		for _, probe := range m.Probes {
			got := bus.Read(t.Context(), probe)
			require.NoError(t, got.Err)
			assert.Equal(t, sensors.Good, got.Cause)
			assert.Greater(t, got.Value, quantity.Celsius(-40))
			assert.Less(t, got.Value, quantity.Celsius(100))
			t.Logf("%s on %s: %.4f °C in %v, % x", probe, m.Name, float64(got.Value), got.Took, got.Raw)
			read++
		}
	}
	require.NotZero(t, read, "no probe on any master")
}

// TestPlausibleTree reads a made-up tree, or a real board's when DUSKLOOP_W1_ROOT names
// its sysfs, usually /sys.
func TestPlausibleTree(t *testing.T) {
	t.Parallel()
	readsPlausibly(t, open(t, cmp.Or(os.Getenv("DUSKLOOP_W1_ROOT"), trees+"/good")))
}
