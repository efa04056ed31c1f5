package tune

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/season"
)

// bowl is a winter whose cost is known in closed form: 100 K²h at its best, and more by the
// square of the distance of the first knob from where it should stand; the second makes no
// difference between 2 and 6, the third none at all.
func bowl(best float64) func(Ask) season.Spent {
	return func(a Ask) season.Spent {
		x, y := a.Set[0]-best, max(2-a.Set[1], 0, a.Set[1]-6)
		part := 1.0
		if a.Short {
			part = 0.25
		}
		if a.Idle {
			return season.Spent{Squared: 500, Hours: 720}
		}
		return season.Spent{Squared: part * (100 + 10*x*x + 5*y*y), Battery: 0.1 * part, Starts: 10 * part, Hours: 720 * part}
	}
}

func each(one func(Ask) season.Spent, count *int) Fly {
	return func(asks []Ask) ([]season.Spent, error) {
		all := make([]season.Spent, len(asks))
		for i, a := range asks {
			all[i] = one(a)
			*count++
		}
		return all, nil
	}
}

func knobs() []Knob {
	return []Knob{
		{Key: "start", Low: 3, High: 20, Step: 0.5, Now: 15}, {Key: "rest", Low: 1, High: 11, Step: 1, Now: 4}, {Key: "idle", Low: 0, High: 10, Step: 1, Now: 3},
	}
}

func searchOf(k []Knob) Search {
	return Search{Knobs: k, Trade: Usual(), Sets: 96, Seed: 7, Searched: []int{0, 2}, Judged: []int{1, 3}, Draws: 2}
}

// The bottom of the bowl is at 8: it is found, the knobs that do nothing stay, and what is as
// good is told.
func TestFindsTheBottom(t *testing.T) {
	t.Parallel()
	n := 0
	out, err := Run(searchOf(knobs()), each(bowl(8), &n))
	require.NoError(t, err)
	require.NotNil(t, out.Best, out.Why)
	assert.InDelta(t, 8, out.Best[0], 0.5)
	assert.InDelta(t, 4, out.Best[1], 0, "as good as any, so it stays")
	assert.InDelta(t, 3, out.Best[2], 0)
	e := out.Effects
	require.Len(t, e, 3)
	assert.InDelta(t, 2*10*49, e[0].Worth, 50, "two stretches of 10 K²h by (15 - 8)²")
	assert.InDelta(t, 0, e[1].Worth, 1e-9)
	assert.LessOrEqual(t, e[1].Low, 2.0)
	assert.GreaterOrEqual(t, e[1].High, 6.0)
	assert.InDelta(t, 0, e[2].Low, 0)
	assert.InDelta(t, 10, e[2].High, 0)
	assert.Less(t, e[0].High-e[0].Low, 4.0)
	require.Len(t, out.Today, 2)
	assert.Greater(t, out.Today[0].Squared, out.Then[0].Squared)
	t.Logf("%d flights, best %v, effects %+v", n, out.Best, e)
}

// The same seed asks the same and finds the same; another one still finds the bottom.
func TestSameSeedSameSearch(t *testing.T) {
	t.Parallel()
	asked := func(seed uint64) (text string, best Set) {
		s := searchOf(knobs())
		s.Seed = seed
		out, err := Run(s, func(asks []Ask) ([]season.Spent, error) {
			text += fmt.Sprintln(asks)
			n := 0
			return each(bowl(8), &n)(asks)
		})
		require.NoError(t, err)
		return text, out.Best
	}
	a, bestA := asked(1)
	b, bestB := asked(1)
	c, bestC := asked(2)
	assert.Equal(t, a, b)
	assert.Equal(t, bestA, bestB)
	assert.NotEqual(t, a, c)
	assert.InDelta(t, 8, bestC[0], 0.5)
}

// Settings that are right already are left alone, with a reason.
func TestRightSettingsStay(t *testing.T) {
	t.Parallel()
	n := 0
	k := knobs()
	k[0].Now = 8
	out, err := Run(searchOf(k), each(bowl(8), &n))
	require.NoError(t, err)
	assert.Nil(t, out.Best)
	assert.NotEmpty(t, out.Why)
}

// What is good on the searched stretches and spoils a left-out one is not taken.
func TestSpoiledMonthSpeaksAgainst(t *testing.T) {
	t.Parallel()
	n := 0
	out, err := Run(searchOf(knobs()), each(func(a Ask) season.Spent {
		x := bowl(8)(a)
		if a.Stretch == 3 {
			x = bowl(15)(a) // one winter wants what is set today
		}
		return x
	}, &n))
	require.NoError(t, err)
	assert.Nil(t, out.Best)
	assert.Contains(t, out.Why, "spoils a month")
}

// What is good by the fit and bad on a greenhouse that the fit does not rule out is not taken.
func TestDoubtSpeaksAgainst(t *testing.T) {
	t.Parallel()
	n := 0
	out, err := Run(searchOf(knobs()), each(func(a Ask) season.Spent {
		if a.Draw == 2 {
			return bowl(19)(a)
		}
		return bowl(8)(a)
	}, &n))
	require.NoError(t, err)
	assert.Nil(t, out.Best)
	assert.Contains(t, out.Why, "errors allow")
	require.Len(t, out.Doubted, 2)
}

// Where every set is as good as any and only chance tells them apart, by set and by weather,
// today's settings stay: of forty searches hardly one is taken in.
func TestChanceChangesNothing(t *testing.T) {
	t.Parallel()
	for _, by := range []float64{0.01, 0.02} {
		taken := 0
		for seed := range uint64(40) {
			s := Search{Knobs: knobs(), Trade: Usual(), Sets: 160, Seed: seed, Searched: []int{0, 1, 2, 3}, Draws: 4}
			for m := range 11 {
				s.Judged = append(s.Judged, 4+m)
			}
			n := 0
			out, err := Run(s, each(func(a Ask) season.Spent {
				h := fnv.New64a()
				fmt.Fprint(h, seed, a.Set, a.Stretch, a.Draw)
				r := rand.New(rand.NewPCG(h.Sum64(), 1))
				return season.Spent{Squared: 100 * (1 + by*r.NormFloat64()), Hours: 720}
			}, &n))
			require.NoError(t, err)
			if out.Best != nil {
				taken++
			}
		}
		t.Logf("chance of %g: %d of 40 changed something", by, taken)
		assert.LessOrEqual(t, taken, 1)
	}
}

// A change that the others need, because today's value beside theirs is refused, has no worth
// of its own.
func TestATiedChange(t *testing.T) {
	t.Parallel()
	n := 0
	k := knobs()[:2]
	k[1].Now = 9 // must stay below the first, which is best at 8
	out, err := Run(searchOf(k), each(func(a Ask) season.Spent {
		if a.Set[1] >= a.Set[0] {
			return season.Spent{Squared: Forbidden}
		}
		return bowl(8)(a)
	}, &n))
	require.NoError(t, err)
	require.NotNil(t, out.Best, out.Why)
	assert.True(t, out.Effects[1].Tied)
	assert.Zero(t, out.Effects[1].Worth)
	assert.False(t, out.Effects[0].Tied)
	assert.Positive(t, out.Effects[0].Worth)
}

// A change is not made where today's value is as good.
func TestAsGoodIsNotChanged(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20) {
		n := 0
		s := searchOf(knobs())
		s.Seed = seed
		out, err := Run(s, each(bowl(8), &n))
		require.NoError(t, err)
		require.NotNil(t, out.Best, out.Why)
		for _, e := range out.Effects {
			assert.False(t, e.From != e.To && e.Low <= e.From && e.From <= e.High, "%+v", e)
		}
	}
}

func TestNothingToSearch(t *testing.T) {
	t.Parallel()
	n := 0
	for _, s := range []Search{{}, {Knobs: knobs(), Sets: 64, Searched: []int{0}}, {Knobs: knobs(), Sets: 3, Searched: []int{0}, Judged: []int{1}}} {
		_, err := Run(s, each(bowl(8), &n))
		require.ErrorIs(t, err, ErrNothing)
	}
	assert.Zero(t, n)
	_, err := Run(searchOf(knobs()), func([]Ask) ([]season.Spent, error) { return nil, nil })
	require.Error(t, err, "answers that are missing")
}

// Every set that is asked for is within its ranges and on its steps, but today's.
func TestSetsKeepTheirRanges(t *testing.T) {
	t.Parallel()
	k := knobs()
	_, err := Run(searchOf(k), func(asks []Ask) ([]season.Spent, error) {
		for _, a := range asks {
			for j, x := range a.Set {
				on := math.Mod(x-k[j].Low+1e-9, k[j].Step) < 1e-6
				if x != k[j].Now {
					assert.True(t, x >= k[j].Low && x <= k[j].High && on, "%s %g", k[j].Key, x)
				}
			}
		}
		n := 0
		return each(bowl(8), &n)(asks)
	})
	require.NoError(t, err)
}
