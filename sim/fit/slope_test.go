package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sim/plant"
)

// figureNamed of a result.
func figureNamed(t testing.TB, r *Result, name string) Figure {
	t.Helper()
	for _, f := range r.Figures {
		if f.Name == name {
			return f
		}
	}
	require.FailNow(t, "no figure", name)
	return Figure{}
}

// A tank that stands warm in the dark cools by T = H + (T0 - H) exp(-UA t / C): Newton's law
// in closed form, with a pump at rest. Nothing else moves, so the fit finds UA by the litres
// alone, and says that it can tell nothing of the coil.
func TestCoolingSlope(t *testing.T) {
	t.Parallel()
	const heat, loss, around = 80e3, 1.5, 4.0
	r := rand.New(rand.NewPCG(1, 2))
	record := Record{Start: firstNoon, Heated: true}
	for k := range 5 * aDay {
		at := around + 55*math.Exp(-loss*60*float64(k%aDay)/heat) // filled hot every noon
		x := Minute{Tank: at + 0.03*r.NormFloat64(), Air: around + 0.03*r.NormFloat64(), House: around + 0.03*r.NormFloat64(), Bed: math.NaN(), Seen: true}
		record.Minutes = append(record.Minutes, x)
	}
	file := Model{Exponent: 0.5}
	file.Tank, file.TankLoss, file.Coil, file.Air, file.Cover, file.Bed, file.BedToAir = heat, 0.9, 20, 20e3, 20, 300e3, 9
	file.Limit, file.Soil, file.Element = 100, around, 300
	out, err := Fit(&record, &Options{File: file})
	require.NoError(t, err)
	x := figureNamed(t, out, "tank loss")
	t.Logf("%+v", x)
	require.True(t, x.Told)
	assert.InEpsilon(t, loss, x.Value, 0.01)
	coil := figureNamed(t, out, "coil")
	assert.False(t, coil.Told)
	assert.NotEmpty(t, coil.Why)
	assert.Contains(t, coil.Experiment, "30 min on, 60 min off")
	assert.InDelta(t, 20, coil.Value, 1e-9, "it stays as the file has it")
}

// Beside the fit, an independent least squares on the same minutes: the heat that the tank
// lost in each half hour of the dark with the pump at rest, through the origin over its mean
// difference to the greenhouse.
func TestFitAgreesWithLeastSquares(t *testing.T) {
	t.Parallel()
	w, file := newWorld(t, 110)
	w.forceOneNight(1)
	w.days(7)
	w.know(&file)
	out, err := Fit(&w.record, &Options{File: file, Seed: 1})
	require.NoError(t, err)
	var xy, xx float64
	const half = 30
	all := w.record.Minutes
	for k := 0; k+half < len(all); k += half {
		dark, across := true, 0.0
		for _, m := range all[max(k-40, 0) : k+half+1] { // the pipes are cold by then
			dark = dark && m.Sun < 1e-9 && m.On+m.Stirred+m.Blown == 0
		}
		for _, m := range all[k : k+half] {
			across += (m.Tank - m.House) / half
		}
		if dark {
			lost := file.Tank * (all[k].Tank - all[k+half].Tank) / (half * 60)
			xy, xx = xy+lost*across, xx+across*across
		}
	}
	require.Positive(t, xx)
	x := figureNamed(t, out, "tank loss")
	t.Logf("least squares %.3f W/K, fit %.3f W/K (%.3f to %.3f), true %.3f W/K", xy/xx, x.Value, x.Low, x.High, w.truth.TankLoss)
	assert.InEpsilon(t, xy/xx, x.Value, 0.05)
}

// A coil that follows the root of the speed, as the simulated lumped one does, run at full and at
// a third of it by turns: the exponent is told, within its interval, and the coil beside it.
func TestCoilBySpeed(t *testing.T) {
	t.Parallel()
	w, file := newWorld(t, 101)
	w.house.Plant.Coil = plant.Coil{Lumped: 20}
	var err error
	w.plant, err = plant.New(w.house.Plant, w.plant.Clock(), w.plant.Now())
	require.NoError(t, err)
	w.forced = func(k int) (on, is bool) { return k%aDay > 7*60 && k%aDay < 15*60 && k%60 < 20, true }
	w.speed = func(k int) float64 { return []float64{1, 0.33}[(k/60)%2] }
	w.days(6)
	w.truth.Coil = 20
	w.know(&file)
	file.Exponent = 0.7
	out, err := Fit(&w.record, &Options{File: file, Seed: 1})
	require.NoError(t, err)
	x, coil := figureNamed(t, out, "coil by speed"), figureNamed(t, out, "coil")
	t.Logf("%+v; %+v", x, coil)
	require.True(t, x.Told, x.Why)
	assert.InDelta(t, 0.5, x.Value, 0.1)
	assert.True(t, x.Low <= 0.5 && x.High >= 0.5, "%g to %g", x.Low, x.High)
	assert.InEpsilon(t, 20, coil.Value, 0.1)
}

// Without pump and fans in a week of record the coil is refused by name, with the experiment.
func TestWhatNeverRanIsRefused(t *testing.T) {
	t.Parallel()
	w, file := newWorld(t, 103)
	w.forced = func(int) (on, is bool) { return false, true }
	w.days(7)
	w.know(&file)
	out, err := Fit(&w.record, &Options{File: file, Seed: 1})
	require.NoError(t, err)
	x := figureNamed(t, out, "coil")
	assert.False(t, x.Told)
	assert.Contains(t, x.Why, "hardly ran")
	assert.Contains(t, x.Experiment, "duskloop fit --experiment")
	assert.InDelta(t, file.Coil, out.Model.Coil, 1e-9)
	assert.True(t, figureNamed(t, out, "tank loss").Told)
}
