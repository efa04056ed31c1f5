package night

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// large is the large plant of the project's study.
func large() Twin {
	return Twin{
		Tank: 203.5e3, Air: 60e3, Bed: 1.5e6, TankLoss: 1.5, Coil: 25, Cover: 25, BedToAir: 15, BedToSoil: 2, Soil: 10,
		Element: 300, Limit: 89, AirSun: 350, BedSun: 350, VentOpens: 24.5, Vent: 150, VentBand: 1,
		FanHeat: 20, Draw: 30, Base: 2, Panel: 90, Capacity: 1200, Efficiency: 0.85,
	}
}

// coldSpell is an outlook of so many steps from the afternoon on, drawn from a seed.
func coldSpell(steps int, seed uint64) Ahead {
	r := rand.New(rand.NewPCG(seed, 7))
	a := Ahead{House: make([]float64, steps), Sun: make([]float64, steps)}
	mean, swing, bright := 6*r.Float64()-4, 3+5*r.Float64(), r.Float64()
	for k := range steps {
		hour := math.Mod(16+float64(k)/6, 24)
		a.House[k] = mean + swing*math.Cos((hour-14)*math.Pi/12)
		a.Sun[k] = bright * max(0, math.Sin((hour-7)*math.Pi/10))
		if hour > 17 || hour < 7 {
			a.Sun[k] = 0
		}
	}
	return a
}

// The adjoint's slope is that of the cost, by central differences.
func TestSlopeIsThatOfTheCost(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 3))
		drive := Drive(seed % 2)
		twin := large()
		twin.Capacity = 60 + 600*r.Float64()
		ahead := []Ahead{coldSpell(96, seed), coldSpell(96, seed+100)}
		warm := make([]float64, 48)
		for i := range warm {
			warm[i] = 0.05 + 0.9*r.Float64()
		}
		start := Now{Tank: 30 + 40*r.Float64(), Air: 8, Bed: 9, Charge: 0.9 * twin.Capacity}
		p := NewPlan(twin, Aim{Minimum: 5.1, Price: 0.1, Floor: 0.5 * twin.Capacity}, drive, start, ahead, 96, 10, warm)
		steep := 0.0
		for _, g := range p.slope {
			steep = max(steep, math.Abs(g))
		}
		slope := append([]float64(nil), p.slope...)
		for i := range p.duty {
			if drive == Varied && math.Abs(p.duty[i]-0.5) < 1e-3 {
				continue // a kink, where the pump begins to pulse
			}
			const d = 1e-5
			was := p.duty[i]
			p.duty[i] = was + d
			above := p.grade()
			p.duty[i] = was - d
			below := p.grade()
			p.duty[i] = was
			require.InDelta(t, (above-below)/(2*d), slope[i], 1e-4*steep, "seed %d, duty %d", seed, i)
		}
	}
}

// Improve never loses ground, whatever its budget, and keeps duties between 0 and 1.
func TestImproveNeverLosesGround(t *testing.T) {
	t.Parallel()
	for seed := range uint64(30) {
		ahead := []Ahead{coldSpell(216, seed)}
		start := Now{Tank: 55, Air: 8, Bed: 9, Charge: 1000}
		p := NewPlan(large(), Aim{Minimum: 5.1, Price: 0.05, Floor: 600}, Pulsed, start, ahead, 216, 0, nil)
		first, before := p.Cost(), p.Cost()
		for range 40 {
			p.Improve(1)
			assert.LessOrEqual(t, p.Cost(), before)
			before = p.Cost()
		}
		for k := range 216 {
			assert.GreaterOrEqual(t, p.Duty(k), 0.0)
			assert.LessOrEqual(t, p.Duty(k), 1.0)
		}
		if first > 100 {
			assert.Less(t, before, first)
		}
	}
}
