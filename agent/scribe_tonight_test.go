package agent

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// While heat is kept from the tunnel the night's document says so at once, tells nothing of
// the plan, and says when that is over or lasts longer.
func TestTonightTellsThatHeatIsBarred(t *testing.T) {
	t.Parallel()
	s, at := scribe{loop: "bench"}, time.Date(2026, 1, 15, 22, 0, 0, 0, time.UTC)
	d := control.Decision{Facts: control.Facts{Tonight: night.Advice{Way: night.Planned, Cold: true, Story: night.Story{
		Coldest: 5.2, Unheated: 1, UnheatedAt: at.Add(8 * time.Hour), ColdestAt: at.Add(8 * time.Hour), From: at.Add(time.Hour), To: at.Add(2 * time.Hour),
	}}}}
	told := func(after time.Duration) *wire.Tonight {
		events := s.tonight(at.Add(after), &d, quantity.SI)
		if len(events) == 0 {
			return nil
		}
		var doc wire.Tonight
		require.NoError(t, json.Unmarshal(events[0].Body, &doc))
		return &doc
	}
	doc := told(0)
	require.NotNil(t, doc)
	require.NotNil(t, doc.ColdestC)
	assert.Empty(t, doc.NoHeat)
	d.Facts.Barred = control.Barred{By: control.BarredByHold, Left: 12 * time.Hour}
	doc = told(time.Minute)
	require.NotNil(t, doc, "said at once")
	assert.Equal(t, "held-by-hand", doc.NoHeat)
	assert.Equal(t, at.Add(12*time.Hour+time.Minute), *doc.NoHeatUntil)
	assert.Nil(t, doc.ColdestC)
	assert.Nil(t, doc.NextFrom)
	assert.InDelta(t, 1, *doc.UnheatedC, 1e-9)
	assert.Contains(t, doc.Words, "Nothing heats the tunnel: held off by hand until 10:01.")
	d.Facts.Barred.Left -= 5 * time.Minute
	assert.Nil(t, told(6*time.Minute), "the same order runs on")
	d.Facts.Barred.Left += time.Hour
	require.NotNil(t, told(7*time.Minute), "it was made longer")
	d.Facts.Barred.Left = 2 * time.Hour
	doc = told(8 * time.Minute)
	require.NotNil(t, doc)
	assert.NotNil(t, doc.ColdestC, "it ends before the coldest hour")
	d.Facts.Barred = control.Barred{By: control.BarredByStop, Why: control.LevelIsLow}
	doc = told(9 * time.Minute)
	require.NotNil(t, doc)
	assert.Equal(t, "level-low", doc.NoHeat)
	assert.Nil(t, doc.NoHeatUntil)
	assert.Nil(t, told(10*time.Minute))
	d.Facts.Barred = control.Barred{}
	require.NotNil(t, told(11*time.Minute), "over")
}
