package night

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// listening lets a mind live some days in which it hears the truth, 3 K too cold, every
// three hours, and a forecast that cannot be.
func listening(t *testing.T, days int) (m *Mind, s Sample, house []float64) {
	t.Helper()
	house, _ = winter(days)
	m, s = lived(days, 1, func(m *Mind, slot int, s *Sample) {
		if slot%18 != 0 {
			return
		}
		f := Forecast{From: s.Time, Step: 30 * time.Minute}
		for k := slot; k+3 <= min(len(house), slot+2*slotsADay); k += 3 {
			f.Air = append(f.Air, (house[k]+house[k+1]+house[k+2])/3-3)
		}
		require.NoError(t, m.Hear(f))
		require.ErrorIs(t, m.Hear(Forecast{From: s.Time, Air: []float64{math.Inf(1)}}), ErrForecast)
	})
	return m, s, house
}

// A forecast that is better than the outlook is planned by once it has shown it, the
// advice says so, and what cannot be is refused and changes nothing.
func TestMindHearsAForecast(t *testing.T) {
	t.Parallel()
	m, _, _ := listening(t, 1)
	assert.Equal(t, OnOutlook, m.Advice().Rests, "it has not shown anything yet")

	m, s, house := listening(t, 8)
	a := m.Advice()
	require.Equal(t, Planned, a.Way)
	assert.Equal(t, OnForecast, a.Rests)
	assert.Equal(t, "forecast", a.Rests.String())
	assert.Less(t, a.Record.Forecast, a.Record.Outlook)
	assert.Greater(t, a.Record.Bets, 8)
	now := slotOf(s.Time)
	own, ok := m.Outlook(now, 144)
	require.True(t, ok)
	best, ok := m.foretell(now)
	require.True(t, ok)
	var byOwn, byBest float64
	at := int(now - slotOf(winterNoon))
	for k := range 144 {
		byOwn += math.Abs(own.House[k]-house[at+k]) / 144
		byBest += math.Abs(best.House[k]-house[at+k]) / 144
	}
	t.Logf("mean error of the next day: outlook %.2f K, with the forecast %.2f K; of late %+v", byOwn, byBest, a.Record)
	assert.Less(t, byBest, 0.8)
	assert.Less(t, byBest, byOwn)
	assert.InDelta(t, best.House[40], m.plan.ahead[0].House[40], 0.5, "the plan goes by it")
}

// A mind that was told what to expect does not ask the forecast.
func TestForetoldMindDoesNotListen(t *testing.T) {
	t.Parallel()
	m, s, _ := listening(t, 8)
	m.Foretell = func(_ int64, n int) (Ahead, bool) {
		return Ahead{House: make([]float64, n), Sun: make([]float64, n)}, true
	}
	m.replan(slotOf(s.Time), &s)
	require.NotNil(t, m.plan)
	assert.Zero(t, m.plan.ahead[0].House[40])
}
