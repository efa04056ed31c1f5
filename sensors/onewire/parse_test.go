package onewire_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/sensors"
	"duskloop/sensors/devicemodel"
	"duskloop/sensors/onewire"
	"duskloop/sensors/quantity"
)

// TestParseDatasheetValues reads the temperature register as the DS18B20
// datasheet's table "Temperature/Data Relationship" gives it.
func TestParseDatasheetValues(t *testing.T) {
	t.Parallel()
	rows := []struct {
		register string // low byte first
		want     quantity.Celsius
	}{
		{"d0 07", 125}, {"50 05", 85}, {"91 01", 25.0625}, {"a2 00", 10.125}, {"08 00", 0.5},
		{"00 00", 0}, {"f8 ff", -0.5}, {"5e ff", -10.125}, {"6f fe", -25.0625}, {"90 fc", -55},
	}
	for _, row := range rows {
		t.Run(row.register, func(t *testing.T) {
			t.Parallel()
			pad, cause, err := onewire.Parse(memory(row.register + " 4b 46 7f ff 10 10"))
			require.NoError(t, err)
			assert.Equal(t, sensors.Good, cause)
			assert.Equal(t, row.want, pad.Value())
		})
	}
}

func TestParseFaults(t *testing.T) {
	t.Parallel()
	good := measured(20)
	rows := []struct {
		name, text string
		cause      sensors.Cause
		says       string
	}{
		{"nothing at all", "", sensors.Empty, "empty answer"},
		{"only a line end", "\n", sensors.Empty, "empty answer"},
		{"power-on value", memory("50 05 4b 46 7f ff 0c 10"), sensors.PowerOn, "85 °C with byte 6 at 0c"},
		{"supply failed", memory("ff 07 4b 46 7f ff 0c 10"), sensors.LowPower, "127.94"},
		{"supply failed, other mark", memory("ff 07 4b 46 7f ff 01 10"), sensors.LowPower, "127.94"},
		{"all zero with a valid checksum", memory("00 00 00 00 00 00 00 00"), sensors.StuckLow, "held low"},
		{"configuration zero", memory("10 01 4b 46 00 ff 10 10"), sensors.StuckLow, "held low"},
		{"minus 127", memory("10 f8 4b 46 7f ff 10 10"), sensors.AllOnes, "-127"},
		{"all ones", strings.Repeat("ff ", 9) + ": crc=c9 NO\n" + strings.Repeat("ff ", 9) + "t=-62\n", sensors.AllOnes, "nothing drives"},
		{"one bit wrong", flipped(20), sensors.BadCRC, "checksum"},
		{"kernel says YES to a wrong checksum", strings.Replace(flipped(20), "NO", "YES", 1), sensors.BadCRC, "checksum"},
		{"kernel says NO to a right checksum", strings.Replace(good, "YES", "NO", 1), sensors.BadCRC, "checksum"},
		{"a byte short", strings.Replace(good, "40 01 ", "40 ", 1), sensors.Failed, "nine bytes"},
		{"not hexadecimal", strings.Replace(good, "40 01 ", "40 zz ", 1), sensors.Failed, "hexadecimal"},
		{"no verdict", strings.Replace(good, "YES", "MAYBE", 1), sensors.Failed, "YES nor in NO"},
		{"second line missing", strings.SplitAfter(good, "\n")[0], sensors.Failed, "no t="},
		{"second line of another read", strings.Replace(good, "t=20000", "t=21000", 1), sensors.Failed, "scratchpad says 20 °C"},
		{"figure not a number", strings.Replace(good, "t=20000", "t=nan", 1), sensors.Failed, "invalid syntax"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			_, cause, err := onewire.Parse(row.text)
			assert.Equal(t, row.cause, cause, "got %v", cause)
			assert.ErrorContains(t, err, row.says)
		})
	}
}

// TestParseKeepsRealValues holds the values that look like faults and are not.
func TestParseKeepsRealValues(t *testing.T) {
	t.Parallel()
	for _, real := range []quantity.Celsius{85, 0, -0.0625, 84.9375, 85.0625, 125} {
		pad, cause, err := onewire.Parse(measured(real))
		require.NoError(t, err, "at %v", real)
		assert.Equal(t, sensors.Good, cause)
		assert.Equal(t, real, pad.Value())
	}
}

// TestParseRoundTrip reads what the model writes, over the part's whole range.
func TestParseRoundTrip(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		sixteenths := rapid.IntRange(-55*16, 125*16).Draw(t, "sixteenths")
		want := quantity.Celsius(sixteenths) / 16
		pad, cause, err := onewire.Parse(measured(want))
		require.NoError(t, err)
		assert.Equal(t, sensors.Good, cause)
		assert.Equal(t, want, pad.Value())
	})
}

// FuzzParse: whatever the text, a Good answer is a sound scratchpad within the
// part's register, and everything else comes with an error.
func FuzzParse(f *testing.F) {
	for _, c := range treeCases() {
		f.Add(c.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		pad, cause, err := onewire.Parse(text)
		if cause != sensors.Good {
			require.Error(t, err)
			return
		}
		require.NoError(t, err)
		require.Equal(t, devicemodel.CRC(pad[:8]), pad[8])
		require.NotZero(t, pad[4])
		require.True(t, quantity.Finite(pad.Value()))
		require.Contains(t, text, "YES")
	})
}
