package agent

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/sim/fit"
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
	require.Len(t, m.clock.said, 1)
	assert.Contains(t, m.clock.said[0].Why, "set back by 2 h")
}

// A clock that ran three days ahead for a minute costs that minute, and not three days; a hole
// before a clock that is set back a little costs what is told twice.
func TestMinutesWithTheClockAhead(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	s, err := f.Settings()
	require.NoError(t, err)
	seen := func(stretches ...[2]time.Duration) (n int, said []fit.Left) {
		m := &minutes{settings: s, period: 10 * time.Second}
		for _, x := range stretches {
			for at := winterDusk.Add(x[0]); at.Before(winterDusk.Add(x[1])); at = at.Add(10 * time.Second) {
				r := record.Reading{At: at}
				for p := range control.Places {
					r.Places[p].V, r.Places[p].OK = 10, true
				}
				m.add(&r)
			}
		}
		for k := range m.all {
			if m.all[k].Seen {
				n++
			}
		}
		return n, m.clock.said
	}
	const h = time.Hour
	n, said := seen([2]time.Duration{0, 5 * h}, [2]time.Duration{77 * h, 77*h + time.Minute}, [2]time.Duration{5*h + time.Minute, 100 * h})
	require.Len(t, said, 1)
	assert.Contains(t, said[0].Why, "ran ahead")
	assert.InDelta(t, 100*60, n, 5)

	n, said = seen([2]time.Duration{0, 5 * h}, [2]time.Duration{13 * h, 60 * h}, [2]time.Duration{59 * h, 80 * h})
	require.Len(t, said, 1)
	assert.Contains(t, said[0].Why, "told twice")
	assert.InDelta(t, (5+46+20)*60, n, 5)

	n, said = seen([2]time.Duration{0, 5 * h}, [2]time.Duration{-3 * h, 5 * h}, [2]time.Duration{5 * h, 9 * h})
	assert.NotEmpty(t, said)
	assert.InDelta(t, 4*60, n, 5, "what is before the first is passed over, the rest told twice")
}
