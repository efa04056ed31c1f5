package agent

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/control/night"
	"duskloop/sim/plant"
)

// planning is a loop of a real greenhouse that plans, not yet run.
func planning(t *testing.T, m *memory) *Loop {
	t.Helper()
	file := config.Demo()
	file.Loop().Carry.Spend = config.ByPlan
	g, err := NewGreenhouse(file, winterDusk, plant.Dusk(), 1)
	require.NoError(t, err)
	l, err := NewLoop(Setup{
		File: file, Clock: &stillClock{winterDusk}, Sight: g, Hands: g, Record: m, Log: quiet(),
		Trusted: func() bool { return true },
	})
	require.NoError(t, err)
	return l
}

// How good forecasts were is kept once it changes, and taken up by the next run; what
// cannot be read is found out anew.
func TestStandingOfForecastsIsKept(t *testing.T) {
	t.Parallel()
	m := newMemory()
	l := planning(t, m)
	l.keepStanding()
	assert.Empty(t, m.kept, "nothing is known yet")
	known := night.Standing{Off: [2]float64{2, 1}, Bets: 12, Outside: true}
	known.Warmer[7], known.Weight[7] = 3.25, 20
	require.NoError(t, l.tonight.mind.Resume(known))
	l.keepStanding()
	require.Len(t, m.kept, 1)

	next := planning(t, m)
	assert.Equal(t, known, next.tonight.mind.Standing())
	clear(m.kept)
	next.keepStanding()
	assert.Empty(t, m.kept, "it has not changed")

	for _, bad := range []string{"[", `{"Bets":99}`, `{"Off":[-1,0]}`} {
		m.kept[standingKey+l.name] = bad
		next = planning(t, m)
		assert.Zero(t, next.tonight.mind.Standing(), bad)
	}
}

// A tick's thought goes with its length.
func TestThoughtsGoWithThePeriod(t *testing.T) {
	t.Parallel()
	assert.Equal(t, 4, thoughts(time.Second))
	assert.Equal(t, 20, thoughts(5*time.Second))
	assert.Equal(t, 40, thoughts(10*time.Second))
	assert.Equal(t, 40, thoughts(time.Minute))
}
