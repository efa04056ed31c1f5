package foresight_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"duskloop/sim/foresight"
)

// fine integrates the balances of a plant, written down once more from their meaning,
// by Heun's rule in steps of seconds or less.
type fine struct {
	p    foresight.Plant
	x    foresight.State
	step float64 // s
}

func (f *fine) slope(x foresight.State, duty, outdoors, ghi, element float64) foresight.State {
	p := &f.p
	open := func(v foresight.Vent, t float64) float64 {
		if v.Conductance == 0 {
			return 0
		}
		return v.Conductance * min(1, max(0, (t-v.Opens)/v.Band))
	}
	element *= min(1, max(0, (p.Limit.High-x.Tank)/(p.Limit.High-p.Limit.Low)))
	coil := duty * p.Coil * (x.Tank - x.Air)
	loss := p.TankLoss * (x.Tank - x.House)
	out := (p.Cover + open(p.TunnelVent, x.Air)) * (x.Air - x.House)
	bed := p.BedToAir * (x.Bed - x.Air)
	return foresight.State{
		Tank: (element - coil - loss + duty*p.TankHeat) / p.Tank,
		Air:  (coil + duty*p.FanHeat + (1-p.SunToBed)*p.TunnelSun*ghi + bed - out) / p.Air,
		Bed:  (p.SunToBed*p.TunnelSun*ghi - bed - p.BedToSoil*(x.Bed-p.Soil)) / p.Bed,
		House: (p.HouseSun*ghi + out + loss + duty*p.HouseHeat -
			(p.HouseOut+open(p.HouseVent, x.House))*(x.House-outdoors)) / p.House,
	}
}

func along(x, d foresight.State, h float64) foresight.State {
	return foresight.State{Tank: x.Tank + h*d.Tank, Air: x.Air + h*d.Air, Bed: x.Bed + h*d.Bed, House: x.House + h*d.House}
}

// squared is the K²h of a schedule whose duty the battery always grants.
func (f *fine) squared(schedule []float64, sky *foresight.Sky) float64 {
	sum := 0.0
	for i, duty := range schedule {
		for range int(60 / f.step) {
			a := f.slope(f.x, duty, sky.Outdoors[i], sky.GHI[i], sky.Element[i])
			b := f.slope(along(f.x, a, f.step), duty, sky.Outdoors[i], sky.GHI[i], sky.Element[i])
			f.x = along(along(f.x, a, f.step/2), b, f.step/2)
			short := max(0, crop-f.x.Air)
			sum += short * short * f.step / 3600
		}
	}
	return sum
}

// The minutes' recursion against an integration a hundred times as fine: squared
// degree-hours without heat and with pulses. Air of 5 kJ/K follows the greenhouse within
// two minutes, of 12 kJ/K within seven.
func TestMinutesAreFineEnough(t *testing.T) {
	t.Parallel()
	const days = 14
	step := 0.5
	if raced {
		step = 4
	}
	for _, s := range stands() {
		for _, air := range []float64{s.plant.Air, 5e3} {
			s.plant.Air = air
			s.plant.Battery.Capacity, s.plant.Battery.Floor, s.plant.Start.Battery = 1e6, 0, 1e6
			w, sky := s.invented(t, days*day, 3, s.plant)
			for name, schedule := range map[string][]float64{"off": make([]float64, days*day), "thermostat": thermostat(w, 3)} {
				got := w.Simulate(schedule).Squared
				p := s.plant
				p.Start.House = sky.Outdoors[0]
				want := (&fine{p: p, x: p.Start, step: step}).squared(schedule, &sky)
				t.Logf("%s, air %.0f J/K, %s: %.2f K²h, finely %.2f: %+.3f %%", s.name, air, name, got, want, 100*(got/want-1))
				allowed := 0.005
				if air == 5e3 && s.plant.Coil > 20 && name != "off" {
					allowed = 0.04 // a pulse is over before a minute is: a coil that no box has
				}
				assert.InEpsilon(t, want, got, allowed)
			}
		}
	}
}

// Gradient against central differences, on random plants and duties, over two days with
// vents, an element that gives way, and a battery that fills and empties. Kinks are rare
// but there: of the minutes tried, a few may lie on one.
func TestGradientAgainstDifferences(t *testing.T) {
	t.Parallel()
	cold := 0
	for seed := range uint64(24) {
		r := rand.New(rand.NewPCG(seed, 7))
		var law foresight.Law = foresight.FixedSpeed{}
		if seed%3 == 2 {
			law = foresight.VariableSpeed{}
		}
		_, w := anyWinter(t, r, 2*day, law)
		schedule := make([]float64, w.Minutes())
		for i := range schedule {
			schedule[i] = max(0, min(1, 1.6*r.Float64()-0.4))
		}
		grad, squared := w.Gradient(schedule)
		assert.InDelta(t, w.Simulate(schedule).Squared, squared, 1e-12*squared)
		scale, worst, bad := 0.0, 0.0, 0
		for _, g := range grad {
			scale = max(scale, math.Abs(g))
		}
		const tries = 60
		for range tries {
			i, h := r.IntN(len(schedule)), 1e-4
			if schedule[i] < h || schedule[i] > 1-h {
				continue
			}
			at := func(d float64) float64 {
				s := append([]float64(nil), schedule...)
				s[i] += d
				return w.Simulate(s).Squared
			}
			want := (at(h) - at(-h)) / (2 * h)
			off := math.Abs(grad[i]-want) / max(math.Abs(want), 0.01*scale)
			if off > 1e-5 {
				bad++
				t.Logf("plant %d, minute %d: %.9g, by differences %.9g", seed, i, grad[i], want)
				continue
			}
			worst = max(worst, off)
		}
		t.Logf("plant %d: %.1f K²h, gradient up to %.3g, worst %.1e, on kinks %d", seed, squared, scale, worst, bad)
		if squared > 1 {
			cold++
			assert.LessOrEqual(t, bad, 2)
		}
	}
	assert.GreaterOrEqual(t, cold, 16, "plants that the weather tries")
}
