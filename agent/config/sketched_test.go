package config

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// On paper any key of the loop may change, by the file's own ranges and relations; the
// file itself stays, and a running greenhouse still refuses.
func TestSketched(t *testing.T) {
	t.Parallel()
	f := Demo()
	was := f.Loop().Tank.Volume
	next, changes, err := f.Sketched(map[string]string{"tank.volume": "60 L", "carry.start_difference": "9 K"})
	require.NoError(t, err)
	assert.InDelta(t, 60, float64(next.Loop().Tank.Volume), 1e-9)
	assert.Equal(t, was, f.Loop().Tank.Volume)
	require.Len(t, changes, 2)
	assert.Equal(t, "loop."+f.Loop().Name+".tank.volume", changes[1].Key)
	for key, value := range map[string]string{
		"tank.volume": "5000 L", "tank.colour": "red", "volume": "60 L", "tank.dangerously_hot": "20 °C",
	} {
		_, _, err := f.Sketched(map[string]string{key: value})
		assert.ErrorAs(t, err, new(Faults), key)
	}
	_, _, err = f.With(map[string]string{"tank.volume": "60 L"})
	assert.ErrorContains(t, err, "can be changed in the greenhouse file only")
}
