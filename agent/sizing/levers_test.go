package sizing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/sizing"
	"duskloop/sim/season"
)

// The order of levers that the study of a lumped plant found (its section "Levers beyond
// control", in hindsight) on the same winter: double cover before three times the
// insulation before twice the tank before as it is before a 12 V element of 1.44 ohm for
// each panel.
func TestLeversInTheStudysOrder(t *testing.T) {
	t.Parallel()
	s := real(t, "plant-large.toml")
	if s == nil {
		return
	}
	lit, err := s.Lit()
	require.NoError(t, err)
	warm, err := s.Fly(season.PolicyFloor)
	require.NoError(t, err)
	left := map[string]float64{"as it is": warm.Score.Squared}
	for _, c := range s.Changes(lit) {
		x, err := s.Try(c)
		require.NoError(t, err, c.Name)
		left[c.Name] = x.Squared
		t.Logf("%6.0f K²h  %v nights  %s", x.Squared, x.Held, c.Name)
	}
	small, err := s.Try(sizing.Set(map[string]string{"element.resistance": "0.48 ohm"}))
	require.NoError(t, err)
	t.Logf("%6.0f K²h  as it is; %.0f on 1.44 ohm", warm.Score.Squared, small.Squared)
	order := []float64{
		left["a second cover on the tunnel"], left["3 times the insulation about the tank"], left["a tank twice as large"],
		left["as it is"], small.Squared,
	}
	for i := 1; i < len(order); i++ {
		assert.Less(t, order[i-1], order[i], "place %d", i)
	}
}
