package night_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control/night"
)

// rig is an invented autumn: outdoor air that swings by the day about a mean that wanders,
// and a greenhouse that is warmer, most at noon.
type rig struct {
	memory  night.Memory
	outlook *night.Outlook
	skill   night.Skill
	outdoor []float64 // by the hour
	hour    int
	noise   *rand.Rand
}

var rigStart = time.Date(2025, 10, 6, 0, 0, 0, 0, time.UTC)

func newRig(seed uint64) *rig {
	g := &rig{noise: rand.New(rand.NewPCG(seed, 2))}
	g.outlook = night.NewOutlook(&g.memory, 72)
	mean := 6.0
	for h := range 40 * 24 {
		mean += 0.6*g.noise.NormFloat64() + 0.01*(6-mean)
		g.outdoor = append(g.outdoor, mean-5*math.Cos(float64(h-4)*math.Pi/12))
	}
	return g
}

// house is what the greenhouse's air is in a slot since the start.
func (g *rig) house(slot int) float64 {
	at := max(0, float64(slot)/6-0.5)
	i := int(at)
	out := g.outdoor[i] + (at-float64(i))*(g.outdoor[i+1]-g.outdoor[i])
	return out + 3 - 2*math.Cos(float64(slot)*math.Pi/72)
}

// live lets hours pass; every third, hear is asked for a forecast from then on.
func (g *rig) live(t *testing.T, hours int, hear func(hour int) []float64) {
	t.Helper()
	for range hours {
		at := rigStart.Add(time.Duration(g.hour) * time.Hour)
		if air := hear(g.hour); g.hour%3 == 0 && air != nil {
			require.NoError(t, g.skill.Hear(night.Forecast{From: at, Air: air}))
		}
		for k := range 6 {
			g.observe(6*g.hour + k)
		}
		g.hour++
	}
}

// observe what a slot since the start shows.
func (g *rig) observe(slot int) {
	now := rigStart.Add(time.Duration(slot) * 10 * time.Minute)
	if g.memory.Add(&night.Sample{
		Time: now, Passed: 10 * time.Minute, House: g.house(slot), Sun: 0,
		Tank: night.Absent(), Air: night.Absent(), Bed: night.Absent(),
	}) {
		g.skill.Learn(g.outlook, now.Unix()/600)
	}
}

// best is who is believed now, and the mean error of what is then said of the next day.
func (g *rig) best(t *testing.T) (outside bool, off float64) {
	t.Helper()
	from := 6 * g.hour
	g.observe(from)
	now := rigStart.Unix()/600 + int64(from)
	a, ok := g.outlook.Ahead(now, 144)
	require.True(t, ok)
	a, outside = g.skill.Best(g.outlook, now, a)
	for k, x := range a.House {
		off += math.Abs(x-g.house(from+k)) / 144
	}
	return outside, off
}

// told is a forecast of 48 h with a constant fault and noise.
func (g *rig) told(fault, noise float64) func(int) []float64 {
	return func(hour int) (air []float64) {
		for k := range 48 {
			air = append(air, g.outdoor[hour+k]+fault+noise*g.noise.NormFloat64())
		}
		return air
	}
}

func silent(int) []float64 { return nil }

// A forecast of half a kelvin's noise is believed after some days though it stands for
// another hill, 4 K colder; one of 8 K noise never is; and one that was good and turns bad
// is left within a week.
func TestBetterForecastWins(t *testing.T) {
	t.Parallel()
	for seed := range uint64(5) {
		good, bad := newRig(seed), newRig(seed)
		good.live(t, 48, good.told(-4, 0.5))
		outside, _ := good.best(t)
		assert.False(t, outside, "too early")
		good.live(t, 8*24, good.told(-4, 0.5))
		outside, off := good.best(t)
		assert.True(t, outside)
		assert.Less(t, off, 1.2)
		own, theirs, bets := good.skill.Record()
		assert.Less(t, theirs, own)
		assert.Greater(t, bets, 20)
		good.live(t, 7*24, good.told(-4, 8))
		outside, _ = good.best(t)
		assert.False(t, outside)

		bad.live(t, 14*24, bad.told(0, 8))
		outside, _ = bad.best(t)
		assert.False(t, outside)
		own, theirs, _ = bad.skill.Record()
		assert.Greater(t, theirs, own)
		t.Logf("winter %d: mean error of the outlook %.2f, of a bad forecast %.2f, of the next day by a good one %.2f K", seed, own, theirs, off)
	}
}

// A forecast that stops coming is used as far as it goes, and no longer.
func TestForecastRunsOut(t *testing.T) {
	t.Parallel()
	g := newRig(9)
	g.live(t, 10*24, g.told(0, 0.3))
	outside, _ := g.best(t)
	require.True(t, outside)
	g.live(t, 50, silent)
	outside, _ = g.best(t)
	assert.False(t, outside)
}

func TestNobodyOutside(t *testing.T) {
	t.Parallel()
	g := newRig(3)
	g.live(t, 6*24, silent)
	outside, _ := g.best(t)
	assert.False(t, outside)
	_, _, bets := g.skill.Record()
	assert.Zero(t, bets)
}

// Sun is taken where it is told; air begins where it is now.
func TestBestBeginsNow(t *testing.T) {
	t.Parallel()
	g := newRig(4)
	g.live(t, 10*24, g.told(0, 0.3))
	at := rigStart.Add(time.Duration(g.hour) * time.Hour)
	f := night.Forecast{From: at, Air: make([]float64, 12), Sun: make([]float64, 12)}
	for k := range f.Air {
		f.Air[k], f.Sun[k] = g.outdoor[g.hour+k]+2, 0.5
	}
	require.NoError(t, g.skill.Hear(f))
	g.observe(6 * g.hour) // so that the slot before is complete
	now := at.Unix() / 600
	a, ok := g.outlook.Ahead(now, 144)
	require.True(t, ok)
	b, outside := g.skill.Best(g.outlook, now, a)
	require.True(t, outside)
	assert.InDelta(t, 0.5, b.Sun[30], 1e-9)
	assert.Equal(t, a.Sun[100:], b.Sun[100:])
	assert.Equal(t, a.House[100:], b.House[100:], "beyond its twelve hours")
	assert.InDelta(t, g.house(6*g.hour-1), b.House[0], 0.01, "2 K wrong now, and put right")
	assert.InDelta(t, g.house(6*g.hour+60)+2, b.House[60], 1, "in ten hours it stands as told")
}

func TestForecastsRefused(t *testing.T) {
	t.Parallel()
	now := rigStart
	for name, f := range map[string]night.Forecast{
		"no time":              {Air: []float64{1}},
		"steps of 1s":          {From: now, Step: time.Second, Air: []float64{1}},
		"steps of 24h0m0s":     {From: now, Step: 24 * time.Hour, Air: []float64{1}},
		"41 steps of air":      {From: now, Step: 6 * time.Hour, Air: make([]float64, 41)},
		"0 steps of air":       {From: now},
		"241 steps of air":     {From: now, Air: make([]float64, 241)},
		"1 steps of sun":       {From: now, Air: []float64{1, 2}, Sun: []float64{1}},
		"air of NaN °C":        {From: now, Air: []float64{1, math.NaN()}},
		"air of 273 °C":        {From: now, Air: []float64{273}},
		"sun of 400 in step 1": {From: now, Air: []float64{1}, Sun: []float64{400}},
	} {
		var s night.Skill
		err := s.Hear(f)
		require.ErrorIs(t, err, night.ErrForecast, name)
		assert.ErrorContains(t, err, name)
	}
}

// What was found out is taken up after a restart: the better one is believed as soon as it
// is heard again, with the greenhouse's warmth by the hour.
func TestStandingSurvives(t *testing.T) {
	t.Parallel()
	g := newRig(3)
	g.live(t, 10*24, g.told(-4, 0.5))
	outside, off := g.best(t)
	require.True(t, outside)
	old := g.skill.Standing()
	g.skill = night.Skill{}
	outside, _ = g.best(t)
	require.False(t, outside)
	require.NoError(t, g.skill.Resume(old))
	assert.Equal(t, old, g.skill.Standing())
	from := rigStart.Add(time.Duration(g.hour) * time.Hour)
	require.NoError(t, g.skill.Hear(night.Forecast{From: from, Air: g.told(-4, 0.5)(g.hour)}))
	outside, again := g.best(t)
	assert.True(t, outside)
	assert.InDelta(t, off, again, 0.5)
}

// A standing that cannot be changes nothing.
func TestStandingThatCannotBe(t *testing.T) {
	t.Parallel()
	for _, bad := range []night.Standing{
		{Warmer: [24]float64{3: math.NaN()}}, {Warmer: [24]float64{3: -99}}, {Weight: [24]float64{-1}}, {Weight: [24]float64{1e9}},
		{Off: [2]float64{-1}}, {Off: [2]float64{0, math.Inf(1)}}, {Bets: -1}, {Bets: 29}, {Bets: 2, Outside: true}, {Bets: math.NaN()},
	} {
		var s night.Skill
		require.ErrorIs(t, s.Resume(bad), night.ErrStanding, "%v", bad)
		assert.Zero(t, s.Standing())
	}
}
