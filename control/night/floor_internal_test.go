package night

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bare is a tunnel that stores nothing beside a tank that loses nothing, under a cover
// that Level takes for so many W/K.
func bare(cover float64) Twin {
	return Twin{
		Tank: 78.3e3, Air: 1, Bed: 1, Coil: 300, Cover: cover / lowCover, Limit: 90,
		VentOpens: 30, Draw: 10, Capacity: 1e4, Efficiency: 1,
	}
}

// squareRoot is the night of Snyder & de Melo-Abreu's example (Frost Protection, FAO
// 2005): 0.95 °C two hours after sunset, -5.45 °C 13 h later, as the root of the time.
func squareRoot() Ahead {
	const steps = 13 * 6
	a := Ahead{House: make([]float64, steps), Sun: make([]float64, steps)}
	for k := range steps {
		a.House[k] = 0.95 - 1.775*math.Sqrt((float64(k)+0.5)/6)
	}
	return a
}

// The integral of what the cover loses on that night, H (a (N-t*) - 2/3 beta (N^1.5 -
// t*^1.5)), is the heat that a floor takes: 1080 Wh for 0 °C under 25 W/K, 691 for 2 °C
// under 10 W/K.
func TestLevelAgreesWithTheClosedForm(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ cover, heat, floor float64 }{
		{25, 1080, 0}, {25, 1728, 2}, {10, 691, 2}, {10, 432, 0}, {38, 1642, 0},
	} {
		twin := bare(row.cover)
		start := Now{Tank: row.floor + row.heat*3600/twin.Tank, Air: 5, Bed: 5, Charge: 1e4}
		got := twin.Level(start, squareRoot(), Aim{Minimum: 10}, Pulsed)
		assert.InDelta(t, row.floor, got.Now, 0.15, "%v", row)
		assert.InDelta(t, got.Now, got.Dawn, 1e-9, "nothing leaks: the floor is flat")
		assert.False(t, got.Whole)
	}
}

// anyNight is an invented one, with a start.
func anyNight(seed uint64) (Twin, Now, Ahead, Aim, Drive) {
	r := rand.New(rand.NewPCG(seed, 11))
	twin := large()
	if r.IntN(2) == 0 { // a small box on a few litres
		twin.Tank, twin.TankLoss, twin.Air, twin.Bed, twin.BedToAir, twin.Cover = 7.4e3, 0.3, 12e3, 300e3, 3, 5
		twin.Coil, twin.Capacity = 20, 420
	}
	start := Now{Tank: 10 + 70*r.Float64(), Air: 4 + 6*r.Float64(), Bed: 4 + 8*r.Float64()}
	start.Charge = twin.Capacity * (0.45 + 0.55*r.Float64())
	return twin, start, coldSpell(96, seed), Aim{Minimum: 5.1, Floor: 0.5 * twin.Capacity}, Drive(r.IntN(2))
}

// A floor that is followed by its own duty, sought anew at every step, in a tunnel as
// Level takes it, is held to the end.
func TestLevelKeepsItsPromise(t *testing.T) {
	t.Parallel()
	poor := 0
	for seed := range uint64(200) {
		twin, n, a, aim, drive := anyNight(seed)
		first := twin.Level(n, a, aim, drive)
		if !first.Whole {
			poor++
		}
		plant := twin
		plant.Cover *= lowCover
		var s link
		for k := range a.House {
			f := twin.Level(n, Ahead{House: a.House[k:], Sun: a.Sun[k:]}, aim, drive)
			require.LessOrEqual(t, f.Now, aim.Minimum)
			require.GreaterOrEqual(t, f.Duty, 0.0)
			require.LessOrEqual(t, f.Duty, 1.0)
			flow, power, _ := drive.shares(f.Duty)
			plant.after(&n, a.House[k], a.Sun[k], a.level(k), flow, power, &s)
			n = s.end()
			if k >= grace {
				require.GreaterOrEqual(t, n.Air, first.Dawn-0.3, "seed %d, step %d", seed, k)
			}
			require.False(t, power > 0 && n.Charge < aim.Floor-0.02*twin.Draw, "seed %d, step %d", seed, k)
		}
	}
	t.Logf("%d of 200 nights too cold for the crop's minimum", poor)
	assert.Greater(t, poor, 60)
}

// A floor half a kelvin higher cannot be held; more heat and charge never make it lower
// both at the beginning and at the end.
func TestLevelIsTheHighest(t *testing.T) {
	t.Parallel()
	for seed := range uint64(200) {
		twin, n, a, aim, drive := anyNight(seed)
		f := twin.Level(n, a, aim, drive)
		richer := n
		richer.Tank, richer.Charge = n.Tank+2, min(n.Charge+20, twin.Capacity)
		g := twin.Level(richer, a, aim, drive)
		assert.GreaterOrEqual(t, max(g.Now-f.Now, g.Dawn-f.Dawn), -0.05, "seed %d", seed)
		if f.Whole {
			continue
		}
		l := level{twin: twin, drive: drive, ahead: a, aim: aim}
		l.twin.Cover *= lowCover
		l.grows = math.Exp(l.rate(n) * Step)
		deficit := aim.Minimum - f.Now
		assert.False(t, l.holds(n, max(0, deficit-0.5)), "seed %d", seed)
		assert.True(t, l.holds(n, deficit), "seed %d", seed)
	}
}

func TestLevelAllocatesNothing(t *testing.T) {
	twin, n, a, aim, drive := anyNight(3)
	assert.Zero(t, testing.AllocsPerRun(10, func() { twin.Level(n, a, aim, drive) }))
}

func BenchmarkLevel(b *testing.B) {
	twin, n, a, aim, _ := anyNight(3)
	for _, row := range []struct {
		name  string
		drive Drive
	}{{"pulsed", Pulsed}, {"varied", Varied}} {
		b.Run(row.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				twin.Level(n, a, aim, row.drive)
			}
		})
	}
}
