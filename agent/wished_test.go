package agent

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/control/night"
)

// What is changed while the loop runs reaches the plan too, and back again; a figure of the
// plan that is left alone stays what suits the plant.
func TestChangesReachThePlan(t *testing.T) {
	t.Parallel()
	file := config.Demo()
	usual, ok, err := Planner(file)
	require.NoError(t, err)
	require.True(t, ok)
	l, stop := standing(t, file, newMemory())
	a := submitted(t, l, `{"set":{"crop.minimum":"45 °F","plan.margin":"0.5 K","plan.thrift":"0.3","plan.ahead":"30 h"}}`)
	require.True(t, a.Accepted, a.Reason)
	refused := submitted(t, l, `{"set":{"plan.ahead":"3 h"}}`)
	assert.False(t, refused.Accepted)
	assert.Contains(t, refused.Reason, "by itself, or 12 h to 2 d")
	stop()
	got := l.tonight.mind.Wishes()
	assert.InDelta(t, 7.222, got.Minimum, 0.001)
	assert.InDelta(t, 0.5, got.Margin, 1e-9)
	assert.InDelta(t, 0.3, got.Thrift, 1e-9)
	assert.Equal(t, 180, got.Horizon)

	l.File = file
	require.NoError(t, l.tonight.wish(file))
	assert.Equal(t, usual.Wishes, l.tonight.mind.Wishes())
	own := night.Usual(usual.Twin)
	assert.InDelta(t, own.Thrift, usual.Thrift, 0)
	assert.Equal(t, own.Horizon, usual.Horizon)
}
