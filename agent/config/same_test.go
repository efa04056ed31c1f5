package config

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"duskloop/sensors/quantity"
)

// Texts are compared by the value that they give. 6 °C is 42.8 °F and 1.5 K is 2.7 °F
// (NIST SP 811, table B.8: t/°C = (t/°F - 32)/1.8).
func TestSettingsAreComparedByTheirValue(t *testing.T) {
	t.Parallel()
	f := Demo()
	assert.True(t, f.Same("crop.minimum", "6 °C", "42.8 °F"))
	assert.True(t, f.Same("crop.minimum", "6.0 °C", "6 °C"))
	assert.False(t, f.Same("crop.minimum", "6 °C", "43 °F"))
	assert.True(t, f.Same("carry.fan_margin", "1.5 K", "2.7 °F"))
	assert.False(t, f.Same("carry.fan_margin", "1.5 K", "2.9 °F"))
	assert.False(t, f.Same("crop.minimum", "41 °F", "41.1 °F"), "a tenth of a degree is a change")
	assert.True(t, f.Same("crop.minimum", "warm", "warm"))
	assert.False(t, f.Same("crop.minimum", "warm", "6 °C"))
	assert.False(t, f.Same("crop.unheard_of", "1", "2"))
	for _, u := range []quantity.Units{quantity.SI, quantity.US} {
		for _, x := range f.LiveSettings(u) {
			assert.True(t, f.Stands(x.Name, x.Value), "%s shown as %s", x.Name, x.Value)
		}
	}
	assert.False(t, f.Stands("crop.minimum", "-3 °C"))
	assert.False(t, f.Stands("crop.unheard_of", "1"))
}
