package quantity_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// NIST SP 811, appendix B.8: psi = 6.894757 kPa, bar = 100 kPa, standard atmosphere
// = 101.325 kPa = 14.696 psi. From memory of the table, and worked out again from
// pound, gravity and inch.
func TestPressure(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]float64{
		"101.325 kPa": 101.325, "1 bar": 100, "1013.25 hPa": 101.325, "1 psi": 6.894757, "30psi": 206.84271,
	} {
		var p quantity.Kilopascal
		require.NoError(t, p.Set(text))
		assert.InEpsilon(t, want, float64(p), 1e-7, text)
	}
	var p quantity.Kilopascal
	require.Error(t, p.Set("3 K"))
	require.Error(t, p.Set("NaN kPa"))
	assert.Equal(t, "101.3 kPa", quantity.Kilopascal(101.325).String())
	assert.Equal(t, "14.7 psi", quantity.Kilopascal(101.325).In(quantity.US))
}
