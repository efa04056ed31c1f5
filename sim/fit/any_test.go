package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// tried is what a fit of one random plant came to.
type tried struct {
	seed             uint64
	forced           int // minutes of the forced test
	result           *Result
	truth            Model
	air, tank        float64 // over nights after the record
	told, in         int
	conductance      float64 // the worst conductance that was told, as a share off
	conductanceNamed string
}

// mean is that of the tank over a record.
func (r *Record) mean() quantity.Celsius {
	sum, n := 0.0, 0.0
	for k := range r.Minutes {
		if x := r.Minutes[k].Tank; known(x) {
			sum, n = sum+x, n+1
		}
	}
	return quantity.Celsius(sum / n)
}

// holes takes some stretches out of a record.
func holes(r *rand.Rand, all []Minute) {
	for range 8 {
		at, n := r.IntN(len(all)), 3+r.IntN(90)
		for k := at; k < min(at+n, len(all)); k++ {
			all[k] = Nothing()
		}
	}
}

// try fits seven days of a random plant, with a forced test in one night if asked, and
// foretells three nights that follow.
func try(t testing.TB, seed uint64, forced bool) tried {
	t.Helper()
	w, file := newWorld(t, seed)
	if forced {
		w.forceOneNight(1)
	}
	w.days(7)
	record := Record{Start: w.record.Start, Skies: w.record.Skies, Heated: true, Minutes: append([]Minute(nil), w.record.Minutes...)}
	holes(rand.New(rand.NewPCG(seed, 3)), record.Minutes)
	w.know(&file)
	out, err := Fit(&record, &Options{File: file, Seed: seed})
	require.NoError(t, err, "seed %d", seed)
	x := tried{seed: seed, forced: w.tested, result: out}
	x.truth = w.truth
	w.days(3)
	l := lay(&w.record, &out.Model, 0)
	nights := l.foretell(&out.Model, l.nights()[7:])
	x.air = pooled(nights, func(n *Night) float64 { return n.Air })
	x.tank = pooled(nights, func(n *Night) float64 { return n.Tank })
	x.count()
	return x
}

// count compares what was told with the truth.
func (x *tried) count() {
	true0 := map[string]float64{}
	for i := range helpers {
		true0[table[i].name] = *x.truth.at(i)
	}
	for _, f := range x.result.Figures {
		if !f.Told || f.Name == table[ofExponent].name {
			continue
		}
		x.told++
		if truth := true0[f.Name]; truth >= f.Low && truth <= f.High {
			x.in++
		}
		if f.Unit == "W/K" {
			if off := math.Abs(f.Value/true0[f.Name] - 1); off > x.conductance {
				x.conductance, x.conductanceNamed = off, f.Name
			}
		}
	}
}

// Random plants, richer than the model, seven days recorded in closed loop with noise, steps and
// holes, and one forced test; the second twenty were first run when all else had been chosen.
func TestAnyPlant(t *testing.T) {
	t.Parallel()
	trials(t, true, 8, append(seeds(100, 20), seeds(3000, 20)...))
}

// Without a forced test, and on three plants that hardly ran or saw no sun: what is told holds
// all the same, and the rest is refused.
func TestAnyPlantUntested(t *testing.T) {
	t.Parallel()
	trials(t, false, 4, append(seeds(1001, 7), 1011, 1017, 1029))
}

func seeds(first uint64, n int) (all []uint64) {
	for i := range n {
		all = append(all, first+uint64(i))
	}
	return all
}

// trials fits plants, which must tell so many figures in the mean, and holds what is told
// against the truth.
func trials(t *testing.T, forced bool, least float64, seeds []uint64) {
	var lock sync.Mutex
	told, in := 0, 0
	t.Run("plants", func(t *testing.T) {
		for _, seed := range seeds {
			t.Run(fmt.Sprint(seed), func(t *testing.T) {
				t.Parallel()
				x := try(t, seed, forced)
				lock.Lock()
				told, in = told+x.told, in+x.in
				lock.Unlock()
				t.Logf("forced test of %d min; told %d, in their intervals %d; worst conductance %.1f %% (%s); nights left out %.2f K air, %.2f K tank; nights after %.2f and %.2f K; follows %.2f and %.2f; left %v",
					x.forced, x.told, x.in, 100*x.conductance, x.conductanceNamed, x.result.Air, x.result.Tank, x.air, x.tank, x.result.Follows[0], x.result.Follows[1], x.result.Left)
				for _, f := range x.result.Figures {
					if !f.Told {
						t.Logf("not told: %s: %s", f.Name, f.Why)
						assert.NotEmpty(t, f.Why)
						assert.NotEmpty(t, f.Experiment)
					}
				}
				assert.Equal(t, map[bool]int{true: 360}[forced], x.forced)
				assert.LessOrEqual(t, x.conductance, 0.1, x.conductanceNamed)
				assert.LessOrEqual(t, x.air, 0.5)
				assert.LessOrEqual(t, x.tank, 1.0)
			})
		}
	})
	t.Logf("true values inside: %d of %d", in, told)
	assert.GreaterOrEqual(t, float64(in), 0.9*float64(told))
	assert.GreaterOrEqual(t, float64(told), least*float64(len(seeds)))
}
