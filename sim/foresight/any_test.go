package foresight_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/sim/foresight"
	"duskloop/sim/weather"
)

// invented is a plant under days of the invented climate, from mid January.
func (s stand) invented(t testing.TB, minutes int, seed uint64, p foresight.Plant) (*foresight.Winter, foresight.Sky) {
	t.Helper()
	from := weather.New(weather.AlderHollow(), alderHollow.Track(), seed)
	start := time.Date(2026, 1, 15, 12, 0, 0, 0, time.FixedZone("", -5*3600))
	sky := s.sky(t, from, alderHollow, start, minutes)
	p.Start.House = sky.Outdoors[0]
	w, err := foresight.NewWinter(p, sky, foresight.FixedSpeed{}, crop)
	require.NoError(t, err)
	return w, sky
}

// anyStand is a random plant and its panels.
func anyStand(r *rand.Rand) stand {
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	size := between(0.15, 1.2)
	p := withTank(3700*between(2, 80), between(0.2, 2.5), between(10, 35), between(200, 1500))
	for _, f := range []*float64{&p.Air, &p.Bed, &p.BedToAir, &p.BedToSoil, &p.Cover, &p.TunnelSun, &p.TunnelVent.Conductance} {
		*f *= size * between(0.7, 1.4)
	}
	p.Limit.Low = between(50, 88)
	p.Limit.High = p.Limit.Low + between(1, 6)
	p.TankHeat, p.HouseHeat = between(0, 5), between(0, 5)
	p.Draw = p.FanHeat + 10 + between(0, 20)
	p.TunnelVent.Opens, p.HouseVent.Opens = between(12, 26), between(15, 28)
	p.SunToBed = between(0.2, 0.8)
	p.Battery.ChargeEfficiency = between(0.7, 0.95)
	p.Start.Battery = between(p.Battery.Floor, p.Battery.Capacity)
	p.Start.Tank, p.Start.Bed = between(10, 80), between(2, 7)
	return stand{name: "any", plant: p, panels: float64(1 + r.IntN(4)), element: 3.24, charging: between(0.3, 1.5)}
}

// anyWinter is a random plant under random weather.
func anyWinter(t testing.TB, r *rand.Rand, minutes int, law foresight.Law) (stand, *foresight.Winter) {
	t.Helper()
	s := anyStand(r)
	from := weather.New(weather.AlderHollow(), alderHollow.Track(), r.Uint64())
	start := time.Date(2026, 1, 1+r.IntN(60), 12, 0, 0, 0, time.FixedZone("", -5*3600))
	sky := s.sky(t, from, alderHollow, start, minutes)
	s.plant.Start.House = sky.Outdoors[0]
	w, err := foresight.NewWinter(s.plant, sky, law, crop)
	require.NoError(t, err)
	return s, w
}
