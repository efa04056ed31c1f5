package foresight_test

import "testing"

// A season's simulation with its gradient: two passes over 305,280 minutes.
func BenchmarkGradient(b *testing.B) {
	w, _, _ := stands()[0].season(b)
	schedule := thermostat(w, 3)
	for b.Loop() {
		w.Gradient(schedule)
	}
}

func BenchmarkNightBound(b *testing.B) {
	w, _ := stands()[0].invented(b, day, 1, stands()[0].plant)
	for b.Loop() {
		_, _ = w.Bound()
	}
}
