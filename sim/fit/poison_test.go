package fit

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// poison is what went wrong with a record or with the greenhouse behind it.
type poison struct {
	name   string
	seed   uint64
	before func(w *world)              // sets faults up
	minute func(w *world)              // before each minute
	record func(all []Minute) []Minute // spoils what was recorded
}

const aDay = 24 * 60

// within a stretch of days.
func within(k int, from, to float64) bool { return float64(k) >= from*aDay && float64(k) < to*aDay }

// stuckProbe holds a figure for two days.
func stuckProbe(of func(*Minute) *float64) func([]Minute) []Minute {
	return func(all []Minute) []Minute {
		at := *of(&all[3*aDay])
		for k := 3 * aDay; k < 5*aDay; k++ {
			*of(&all[k]) = at
		}
		return all
	}
}

// swappedProbes for some days.
func swappedProbes(a, b func(*Minute) *float64, from, to float64) func([]Minute) []Minute {
	return func(all []Minute) []Minute {
		for k := range all {
			if x, y := a(&all[k]), b(&all[k]); within(k, from, to) {
				*x, *y = *y, *x
			}
		}
		return all
	}
}

// shiftedClock moves what was recorded from a day on by some hours: a hole, or what was
// written twice.
func shiftedClock(day, minutes int) func([]Minute) []Minute {
	return func(all []Minute) []Minute {
		out := append([]Minute(nil), all...)
		for k := day * aDay; k < len(out); k++ {
			out[k] = Nothing()
			if from := k - minutes; from >= day*aDay && from < len(all) {
				out[k] = all[from]
			}
		}
		return out
	}
}

func tankOf(m *Minute) *float64  { return &m.Tank }
func airOf(m *Minute) *float64   { return &m.Air }
func houseOf(m *Minute) *float64 { return &m.House }

// opened is a tunnel whose cover loses so many times its heat for a night.
func opened(times float64) func(*world) {
	return func(w *world) {
		k := len(w.record.Minutes)
		p := w.house.Plant
		switch k {
		case 3 * aDay:
			p.Tunnel.Cover *= quantity.WattPerKelvin(times)
		case 4 * aDay:
		default:
			return
		}
		next, err := plant.New(p, w.plant.Clock(), w.plant.Now())
		require.NoError(w.t, err)
		w.plant = next
	}
}

func poisons() (all []poison) {
	for _, x := range []struct {
		name string
		of   func(*Minute) *float64
	}{{"tank", tankOf}, {"tunnel", airOf}, {"greenhouse", houseOf}, {"tunnel again", airOf}} {
		all = append(all, poison{name: "stuck " + x.name, record: stuckProbe(x.of)})
	}
	for _, x := range []struct {
		name     string
		a, b     func(*Minute) *float64
		from, to float64
	}{
		{"tank and tunnel, two days", tankOf, airOf, 3, 5}, {"tank and tunnel, all", tankOf, airOf, 0, 7},
		{"tunnel and greenhouse, two days", airOf, houseOf, 3, 5}, {"tunnel and greenhouse, all", airOf, houseOf, 0, 7},
	} {
		all = append(all, poison{name: "swapped " + x.name, record: swappedProbes(x.a, x.b, x.from, x.to)})
	}
	for _, h := range []int{-6, -2, 3, 8} {
		all = append(all, poison{name: fmt.Sprintf("clock %+d h", h), record: shiftedClock(4, 60*h)})
	}
	for i, d := range []float64{1, 2, 2, 1} { // on plants that run their fans then
		all = append(all, poison{name: fmt.Sprintf("dead fans, %.0f days, %d", d, i), seed: []uint64{321, 322, 314, 315}[i], before: func(w *world) {
			w.faults = func(k int) plant.Faults { return plant.Faults{FanDead: within(k, 3, 3+d)} }
		}})
	}
	for _, times := range []float64{2, 3, 4, 2.5} {
		all = append(all, poison{name: fmt.Sprintf("cover open, %.1f times", times), minute: opened(times)})
	}
	for i := range all {
		if all[i].seed == 0 {
			all[i].seed = 300 + uint64(i)
		}
	}
	return all
}

// Twenty records that something spoiled: the fit leaves the stretch out or refuses, in words,
// and what it still tells of the conductances is right within 10 % or within its own interval.
func TestPoisonedRecords(t *testing.T) {
	t.Parallel()
	cases := poisons()
	require.Len(t, cases, 20)
	for _, x := range cases {
		t.Run(x.name, func(t *testing.T) {
			t.Parallel()
			w, file := newWorld(t, x.seed)
			w.forceOneNight(1)
			if x.before != nil {
				x.before(w)
			}
			for range 7 * aDay {
				if x.minute != nil {
					x.minute(w)
				}
				w.minute()
			}
			if x.record != nil {
				w.record.Minutes = x.record(w.record.Minutes)
			}
			w.know(&file)
			out, err := Fit(&w.record, &Options{File: file, Seed: 1})
			if err != nil {
				require.NotEmpty(t, out.Left, "a refusal says why")
				t.Logf("refused: %v; %v", err, out.Left)
				return
			}
			worst, named := 0.0, ""
			for _, f := range out.Figures {
				for i := range helpers {
					if table[i].name == f.Name && f.Told && f.Unit == "W/K" && i != ofBedToSoil {
						truth := *w.truth.at(i)
						if off := math.Abs(f.Value/truth - 1); off > worst && (truth < f.Low || truth > f.High) {
							worst, named = off, f.Name
						}
					}
				}
			}
			require.NotEmpty(t, append(out.Left, out.Stuck...), "something is said of it")
			t.Logf("worst conductance %.1f %% (%s), nights %.2f and %.2f K, of %d minutes; left %v, stuck %v", 100*worst, named, out.Air, out.Tank, out.Minutes, out.Left, out.Stuck)
			assert.LessOrEqual(t, worst, 0.1, named)
		})
	}
}
