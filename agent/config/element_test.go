package config

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// By hand: a generic 12 V class panel has 22.3 V open at 25 °C and -0.31 %/K, so 25.8 V at
// -25 °C; over 2 V at the input ask for a divider of 13.
func TestPanelHoldsTheInput(t *testing.T) {
	t.Parallel()
	f := Demo()
	open, err := f.Loop().OpenVolts()
	require.NoError(t, err)
	assert.InDelta(t, 22.3*(1+0.0031*50), float64(open), 0.3)
	for ratio, held := range map[Ratio]bool{2: false, 11: false, 12.5: false, 13.5: true, 21: true, 0: true} {
		f.Daemon.PanelRatio = ratio
		assert.Equal(t, held, len(f.overloaded()) == 0, "%v", ratio)
	}
}

// Two panels of 200 V class in series, as a label tells them: not measured so at all.
func TestPanelBeyondMeasuring(t *testing.T) {
	t.Parallel()
	f := Demo()
	f.Daemon.PanelRatio = 200
	f.Loop().Label = Nameplate{Voc: 178, Vmp: 147, Isc: 5.95, Imp: 5.43, Cells: 288, Alpha: 0.0005, Beta: -0.0031, Series: 2, Parallel: 1}
	faults := f.overloaded()
	require.Len(t, faults, 1)
	assert.Contains(t, faults[0].Problem, "too much to be measured")
}
