package battery_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/battery"
)

// Computed outside this program: 20 Ah at the 20 h rate under 2 A; and 100 Ah at its own
// rated current, which is 20 h whatever the exponent (t = C/I^k would say 14.5 h).
func TestPeukertTime(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		rated quantity.AmpereHour
		load  quantity.Ampere
		k     float64
		hours float64
	}{{20, 2, 1.1, 9.3}, {20, 2, 1.25, 8.4}, {100, 5, 1.2, 20}, {20, 1, 1, 20}} {
		got, err := battery.PeukertTime(row.rated, 20*time.Hour, row.load, row.k)
		require.NoError(t, err)
		assert.InEpsilon(t, row.hours, got.Hours(), 0.01, "%+v", row)
	}
	exact, err := battery.PeukertTime(100, 20*time.Hour, 5, 1.2)
	require.NoError(t, err)
	assert.Equal(t, 20*time.Hour, exact)
}

func TestPeukertRefusals(t *testing.T) {
	t.Parallel()
	for name, try := range map[string]func() error{
		"exponent of": func() error { _, err := battery.PeukertTime(20, 20*time.Hour, 2, 0.9); return err },
		"fifth":       func() error { _, err := battery.PeukertTime(20, 20*time.Hour, 0.1, 1.2); return err },
		"twice":       func() error { _, err := battery.PeukertTime(20, 20*time.Hour, 41, 1.2); return err },
		"zero":        func() error { _, err := battery.PeukertTime(0, 20*time.Hour, 2, 1.2); return err },
	} {
		require.ErrorContains(t, try(), name, name)
	}
}
