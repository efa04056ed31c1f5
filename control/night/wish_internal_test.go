package night

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// work lets a mind bring its plan to its end, and says how much of full power it runs over.
func work(m *Mind) (run float64) {
	m.plan.Improve(2000)
	for k := range m.plan.steps {
		run += m.plan.Duty(k)
	}
	return run
}

// A wish is followed at the next sample, in the middle of a slot too, and is judged by the
// season as it was remembered: a milder crop is not cold, a colder one is kept warm, and what
// is dearer is run less.
func TestWishesAreFollowedAtOnce(t *testing.T) {
	t.Parallel()
	m, s := lived(16, 1, nil)
	was := m.set.Wishes
	was.Minimum, was.Harm = -3, -40
	wish := func(change func(*Wishes)) float64 {
		w := was
		change(&w)
		m.Wish(w)
		s.Time, s.Passed = s.Time.Add(30e9), 30e9
		m.Observe(&s)
		require.Equal(t, Planned, m.Advice().Way)
		require.NotNil(t, m.Advice().Course)
		return work(m)
	}
	usual := wish(func(*Wishes) {})
	thrifty := wish(func(w *Wishes) { w.Thrift = 1 })
	assert.Less(t, thrifty, 0.9*usual)
	assert.InDelta(t, usual, wish(func(*Wishes) {}), 0.02*usual, "wished back")
	assert.Greater(t, wish(func(w *Wishes) { w.Margin = 2 }), 1.1*usual)
	assert.Zero(t, wish(func(w *Wishes) { w.Minimum = -30 }))
	assert.False(t, m.Advice().Cold)
	assert.Zero(t, m.hard.cost, "no night of the season was cold for such a crop")
	wish(func(w *Wishes) { w.Horizon = 216 })
	assert.Equal(t, 216, m.plan.steps)
	before := m.plan.links
	m.Wish(m.set.Wishes)
	assert.False(t, m.anew, "nothing changed")
	assert.Len(t, m.plan.links, len(before))
}

// A wish before anything was seen is kept for the first plan.
func TestAWishBeforeTheFirstSample(t *testing.T) {
	t.Parallel()
	m := NewMind(Usual(large()))
	w := m.set.Wishes
	w.Minimum = 9
	m.Wish(w)
	assert.Equal(t, Waiting, m.Advice().Way)
	assert.InDelta(t, 9, m.set.Minimum, 0)
}
