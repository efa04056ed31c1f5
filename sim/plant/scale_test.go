package plant

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/pv"
)

// An element scaled gives what was asked for at the voltage of before, by its rating and by a
// nameplate alike.
func TestScaledElement(t *testing.T) {
	t.Parallel()
	p := AlderHollow()
	plate := p
	// Invented; near 100 W.
	plate.Element.Panel.Nameplate = pv.Nameplate{Voc: 22, Vmp: 18, Isc: 6, Imp: 5.55, Alpha: 0.0005, Beta: -0.003, Cells: 36}
	for name, p := range map[string]Params{"rating": p, "nameplate": plate} {
		before, err := p.Lump()
		require.NoError(t, err, name)
		for _, by := range []float64{0.5, 1, 1.7} {
			want := before.Element * quantity.Watt(by)
			p := p
			p.Element, err = p.Element.Scaled(want)
			require.NoError(t, err, name)
			after, err := p.Lump()
			require.NoError(t, err, name)
			assert.InEpsilon(t, float64(want), float64(after.Element), 1e-6, name)
			assert.InEpsilon(t, float64(before.PanelVolts), float64(after.PanelVolts), 1e-6, name)
		}
	}
	_, err := p.Element.Scaled(0)
	require.Error(t, err)
	p.Element.Panel.Rating = 1
	_, err = p.Element.Scaled(100)
	require.Error(t, err, "no panel of 1 W is known")
}
