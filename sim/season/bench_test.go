package season_test

import (
	"testing"
	"time"
)

// BenchmarkClosedLoop prints, measured in one run, a closed-loop step of one minute
// (weather, plant, battery, probe errors, decision) beside a bare explicit step of
// the same states whose sources, coil and diode point are already at hand; and the
// time that seven months of such steps take.
func BenchmarkClosedLoop(b *testing.B) {
	const months = 212 * 24 * 60
	s := begin(b, alderHollow(), 4)
	steps := 0
	began := time.Now()
	b.ReportAllocs()
	for b.Loop() {
		if steps++; steps%months == 0 {
			s = begin(b, alderHollow(), uint64(steps))
		}
		s.Step(time.Minute)
	}
	closed := float64(time.Since(began)) / float64(steps)
	bare := bareLoop(max(steps, 1000))
	b.ReportMetric(closed, "ns/closed-loop-step")
	b.ReportMetric(bare, "ns/bare-step")
	b.ReportMetric(closed/bare, "times-bare")
	b.ReportMetric(closed*months/1e9, "s/seven-months")
}

// bare is the plant's states with every conductance, capacity and source at hand.
type bare struct {
	tank, coil, back, air, bed, house        float64 // °C
	tankC, pipeC, airC, bedC, houseC         float64 // J/K
	stream, coilUA, still, loss              float64 // W/K
	bedAir, bedSoil, cover, vent             float64
	houseCover, houseLeak, houseVent         float64
	element, pumpHeat, fanHeat               float64 // W
	sunAir, sunBed, sunHouse, motors, sky    float64
	available, bound, amps, share, exchanged float64
	outdoors, soil                           float64
}

// step is the explicit (Euler) rule over h seconds.
func (s *bare) step(h float64) {
	standing := s.loss * (s.tank - s.house)
	outward, across, home := s.stream*s.tank, s.stream*s.coil, s.stream*s.back
	byCoil := s.coilUA * (s.coil - s.air)
	rest, rest2 := s.still*(s.coil-s.air), s.still*(s.back-s.air)
	bedAir, bedSoil := s.bedAir*(s.bed-s.air), s.bedSoil*(s.bed-s.soil)
	cover, vent := s.cover*(s.air-s.house), s.vent*(s.air-s.house)
	out := (s.houseCover + s.houseLeak + s.houseVent) * (s.house - s.outdoors)
	s.tank += h / s.tankC * (s.element + s.pumpHeat - standing - outward + home)
	s.coil += h / s.pipeC * (outward - across - rest)
	s.back += h / s.pipeC * (across - home - byCoil - rest2)
	s.air += h / s.airC * (byCoil + rest + rest2 + bedAir + s.fanHeat + s.sunAir - cover - vent)
	s.bed += h / s.bedC * (s.sunBed - bedAir - bedSoil)
	s.house += h / s.houseC * (standing + cover + vent + s.sunHouse + s.motors - out - s.sky)
	flow := s.exchanged * (s.bound/(1-s.share) - s.available/s.share)
	s.available += h / 3600 * (flow + s.amps)
	s.bound -= h / 3600 * flow
}

// bareLoop is the time of one bare step in ns.
func bareLoop(n int) float64 {
	s := bare{
		tank: 60, coil: 12, back: 12, air: 10, bed: 12, house: 5,
		tankC: 85e3, pipeC: 1.3e3, airC: 14e3, bedC: 330e3, houseC: 260e3,
		stream: 3, coilUA: 2, still: 0.9, loss: 0.4, bedAir: 9, bedSoil: 1.2, cover: 20,
		houseCover: 88, houseLeak: 12, element: 100, sunAir: 10, sunBed: 10, sunHouse: 100,
		available: 10, bound: 20, amps: -0.2, share: 0.3, exchanged: 0.1, outdoors: -3, soil: 8,
	}
	began := time.Now()
	for range n {
		s.step(10)
	}
	elapsed := float64(time.Since(began)) / float64(n)
	sink = s.tank + s.air + s.available
	return elapsed
}

// sink keeps the compiler from dropping the bare loop.
var sink float64
