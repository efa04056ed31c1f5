package agent

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/fitted"
	"duskloop/sim/fit"
	"duskloop/sim/season"
)

// A duty that is changed while running changes no greenhouse: coil and draw at full duty stay
// what the file, or its fit, says, and no figure counts as changed by the grower.
func TestADutyChangesNoGreenhouse(t *testing.T) {
	t.Parallel()
	text := strings.Replace(config.Example(), "# pwm = \"none\"", "pwm = \"kernel\"", 1)
	fans := strings.Index(text, "fans]")
	text = text[:fans] + strings.Replace(text[fans:], "# pwm = \"none\"", "pwm = \"kernel\"", 1)
	fans = strings.Index(text, "fans]")
	text = text[:fans] + strings.Replace(text[fans:], "# pwm_channel = 0", "pwm_channel = 1", 1)
	f, err := config.Parse([]byte(text))
	require.NoError(t, err)
	own, _, err := season.TwinOf(ownParams(f))
	require.NoError(t, err)
	r := &fit.Result{Figures: []fit.Figure{
		{Name: "coil", Unit: "W/K", File: own.Coil, Value: 0.7 * own.Coil, Low: 0.6 * own.Coil, High: 0.8 * own.Coil, Told: true},
		{Name: "pump and fans", Unit: "W", File: own.Draw, Value: 1.3 * own.Draw, Low: 1.2 * own.Draw, High: 1.4 * own.Draw, Told: true},
	}}
	for _, g := range []*fitted.Greenhouse{nil, fitted.Of(r, ownParams(f), stated(f), "bench", time.Time{}, time.Time{}, time.Now())} {
		f.Fitted = g
		slow, _, err := f.With(map[string]string{"pump.duty": "50 %", "fans.duty": "60 %"})
		require.NoError(t, err)
		was, _, err := season.TwinOf(plantParams(f))
		require.NoError(t, err)
		is, _, err := season.TwinOf(plantParams(slow))
		require.NoError(t, err)
		assert.Equal(t, was, is)
		assert.Empty(t, OutdatedFit(slow))
		if g != nil {
			assert.InEpsilon(t, 0.7*own.Coil, is.Coil, 2e-3)
			assert.InEpsilon(t, 1.3*own.Draw, is.Draw, 2e-3)
		}
	}
}
