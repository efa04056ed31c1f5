package agent

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/control"
)

// A clock that is set back by two hours tells those hours twice: neither is believed, and what
// comes before and after is read as ever.
func TestMinutesWithTheClockSetBack(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	s, err := f.Settings()
	require.NoError(t, err)
	m := &minutes{settings: s, period: 10 * time.Second}
	start := winterDusk
	tell := func(from time.Time, long time.Duration, on bool) {
		for at := from; at.Before(from.Add(long)); at = at.Add(10 * time.Second) {
			x := record.Reading{At: at}
			for p := range control.Places {
				x.Places[p].V, x.Places[p].OK = 10, true
			}
			x.Heating.OK = true
			if on {
				x.Outputs.Pump, x.Outputs.Fans = 1, 1
			}
			m.add(&x)
		}
	}
	tell(start, 5*time.Hour, true)
	tell(start.Add(3*time.Hour), 6*time.Hour, false)
	at := func(h float64) int {
		return int(start.Add(time.Duration(h*float64(time.Hour))).Sub(m.start) / time.Minute)
	}
	assert.True(t, m.all[at(2.9)].Seen)
	assert.InDelta(t, 1, m.all[at(2.9)].On, 1e-9)
	for _, h := range []float64{3.1, 4, 4.9} {
		assert.False(t, m.all[at(h)].Seen, "%g h", h)
	}
	assert.True(t, m.all[at(5.1)].Seen)
	assert.Zero(t, m.all[at(5.1)].On)
	for k := range m.weight {
		assert.LessOrEqual(t, m.weight[k], 60.0)
	}
}
