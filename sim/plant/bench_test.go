package plant_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// BenchmarkStep is one minute of the plant alone, at night and by day, pump
// running or at rest.
func BenchmarkStep(b *testing.B) {
	cases := map[string]struct {
		act plant.Act
		sky weather.Sample
	}{
		"night, rest":    {plant.Act{}, night()},
		"night, pumping": {plant.Act{Pump: 1, Fans: 1}, night()},
		"day, heating":   {plant.Act{ElementConnected: true}, grey(400)},
	}
	for name, c := range cases {
		b.Run(name, func(b *testing.B) {
			p := plant.AlderHollow()
			p.Loop.Pump, p.Fans.Power, p.Supply.BaseLoad = 0, 0, 0 // or the battery would run out
			made, err := plant.New(p, noon, plant.Dusk())
			require.NoError(b, err)
			b.ReportAllocs()
			for b.Loop() {
				made.Step(time.Minute, c.act, c.sky)
			}
		})
	}
}

// BenchmarkWeather is one sample of the generator, by day.
func BenchmarkWeather(b *testing.B) {
	p := plant.AlderHollow()
	g := weather.New(weather.AlderHollow(), p.Site.Track(), 1)
	at := noon
	b.ReportAllocs()
	for b.Loop() {
		at = at.Add(time.Millisecond) // a new sun each time
		g.At(at)
	}
}
