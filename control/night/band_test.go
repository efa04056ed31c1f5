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

// Of errors that are alike from night to night, four of five fall into the band, skewed
// or not, from the tenth night on; the first night has a wide one about the forecast.
func TestBandsHoldFourOfFive(t *testing.T) {
	t.Parallel()
	for name, draw := range map[string]func(*rand.Rand) float64{
		"even":   func(r *rand.Rand) float64 { return 2 * r.NormFloat64() },
		"skewed": func(r *rand.Rand) float64 { return 3*r.ExpFloat64() - 1 },
		"biased": func(r *rand.Rand) float64 { return 5 + r.NormFloat64() },
	} {
		r := rand.New(rand.NewPCG(1, 8))
		inside, n := 0, 0
		for range 300 {
			var b night.Bands
			low, high := b.Around(3)
			require.InDelta(t, 3, (low+high)/2, 1e-9)
			require.Greater(t, high-low, 4.0)
			for k := range 60 {
				truth := draw(r)
				low, high := b.Around(0)
				if k >= 10 {
					n++
					if truth >= low && truth <= high {
						inside++
					}
				}
				b.Add(0, truth)
				b.Add(0, math.NaN())
			}
		}
		assert.InDelta(t, 0.8, float64(inside)/float64(n), 0.03, name)
	}
}

// A season that turns is followed: errors of long ago are forgotten.
func TestBandsForget(t *testing.T) {
	t.Parallel()
	var b night.Bands
	for range 40 {
		b.Add(0, 10)
	}
	for k := range 40 {
		b.Add(0, []float64{-1, 1}[k%2])
	}
	low, high := b.Around(0)
	assert.InDelta(t, -1, low, 1e-9)
	assert.InDelta(t, 1, high, 1e-9)
}

// evenings is an outlook upon so many days of invented air, up to slot now, 20:00: the
// air falls by the root of the time from 16:00 to 07:00, the faster the clearer the
// night, and clearness and warmth are drawn anew each day. The minima follow by day.
func evenings(seed uint64, days int, gap func(day, slot int) bool) (o *night.Outlook, now int64, minima []float64) {
	r := rand.New(rand.NewPCG(seed, 5))
	m := new(night.Memory)
	start := time.Date(2025, 11, 3, 16, 0, 0, 0, time.UTC)
	for day := range days {
		warm, fall := 4*r.NormFloat64(), 0.5+2*r.Float64()
		minima = append(minima, warm-fall*math.Sqrt(90))
		for slot := range 144 {
			if day == days-1 && slot > 24 {
				break
			}
			at := start.Add(time.Duration(144*day+slot) * 10 * time.Minute)
			air := warm - fall*math.Sqrt(float64(min(slot, 90)))
			if gap(day, slot) {
				air = night.Absent()
			}
			m.Add(&night.Sample{
				Time: at, Passed: 10 * time.Minute, House: air,
				Tank: night.Absent(), Air: night.Absent(), Bed: night.Absent(), Sun: 0,
			})
			now = at.Unix() / 600
		}
	}
	return night.NewOutlook(m, 72), now, minima
}

func never(int, int) bool { return false }

// Air and its fall tell the whole night here, and the outlook learns how: after three
// weeks its error is a sixth of last night's, after two with a night lost not half, and
// four bands of five hold the truth.
func TestMinimumLearnsFromTheFall(t *testing.T) {
	t.Parallel()
	const winters = 60
	for _, row := range []struct {
		days, lost int
		share      float64
	}{{21, -1, 1. / 6}, {15, 7, 0.5}} {
		learned, last, inside := 0.0, 0.0, 0
		for seed := range uint64(winters) {
			o, now, minima := evenings(seed, row.days, func(day, _ int) bool { return day == row.lost })
			got, ok := o.Minimum(now, 70)
			require.True(t, ok)
			want := minima[row.days-1]
			learned += (got - want) * (got - want)
			last += (minima[row.days-2] - want) * (minima[row.days-2] - want)
			b := o.Bands(now, 70)
			if low, high := b.Around(got); low <= want && want <= high {
				inside++
			}
		}
		t.Logf("%d days: RMSE %.2f K, last night's %.2f K, %d of %d inside", row.days, math.Sqrt(learned/winters), math.Sqrt(last/winters), inside, winters)
		assert.Less(t, math.Sqrt(learned/last), row.share)
		assert.InDelta(t, 0.8*winters, inside, 0.12*winters)
	}
}

// It waits for the fourth night, and says nothing with the last hour unknown, nor of more
// than a day.
func TestMinimumWithLittleToGoBy(t *testing.T) {
	t.Parallel()
	for days := 1; days <= 8; days++ {
		o, now, _ := evenings(5, days, never)
		_, ok := o.Minimum(now, 70)
		assert.Equal(t, days > 4, ok, "%d days", days)
		b := o.Bands(now, 70)
		low, high := b.Around(0)
		assert.Greater(t, high-low, 2.0)
	}
	o, now, _ := evenings(5, 15, func(day, slot int) bool { return day == 14 && slot > 10 })
	_, ok := o.Minimum(now, 70)
	assert.False(t, ok)
	o, now, _ = evenings(5, 15, never)
	for _, n := range []int{0, 145} {
		_, ok = o.Minimum(now, n)
		assert.False(t, ok, "%d slots", n)
	}
}

// A bent outlook has the minimum it was bent to, and the air now is as it was.
func TestBendKeepsTheBeginning(t *testing.T) {
	t.Parallel()
	a := night.Ahead{House: make([]float64, 80), Sun: make([]float64, 80)}
	for k := range a.House {
		a.House[k] = 8 - math.Sqrt(float64(k))
	}
	a.Bend(-3, 75)
	low := math.Inf(1)
	for _, x := range a.House[:75] {
		low = min(low, x)
	}
	assert.InDelta(t, -3, low, 1e-9)
	assert.InDelta(t, 8, a.House[0], 0.2)
	assert.InDelta(t, 8-math.Sqrt(79), a.House[79], 1e-9, "behind the night it is as it was")
}

func BenchmarkBands(b *testing.B) {
	o, now, _ := evenings(5, 21, never)
	b.ReportAllocs()
	for b.Loop() {
		o.Bands(now, 70)
	}
}
