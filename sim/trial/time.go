package trial

import "math"

// Vessel is one whose figures are known.
type Vessel struct {
	Heat  float64 // J/K
	Power float64 // W into the liquid
	Loss  float64 // W/K
	Air   float64 // °C
}

// Until is how long it takes from one temperature to another, s, and what the same would
// take without loss, m c dT / P, as calculators have it. +Inf where it never gets there: the
// loss takes all power at Air + Power/Loss.
func (v Vessel) Until(from, to float64) (with, without float64) {
	without = v.Heat * (to - from) / v.Power
	if v.Loss <= 0 {
		return without, without
	}
	most := v.Air + v.Power/v.Loss
	if to >= most {
		return math.Inf(1), without
	}
	return v.Heat / v.Loss * math.Log((most-from)/(most-to)), without
}

// At is the temperature after so many seconds, °C.
func (v Vessel) At(from, seconds float64) float64 {
	stays, mean := decay(v.Loss * seconds / v.Heat)
	return from*stays + (v.Power+v.Loss*v.Air)*seconds/v.Heat*mean
}
