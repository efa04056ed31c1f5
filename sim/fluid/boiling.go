package fluid

import (
	"fmt"
	"math"

	"duskloop/sensors/quantity"
)

// Atmosphere is the standard pressure at sea level (exact by definition).
const Atmosphere quantity.Kilopascal = 101.325

// Boiling is the boiling point at sea level, 101.325 kPa.
func (m Mix) Boiling() quantity.Celsius { return m.boilingAt(Atmosphere) }

// The pressures for which a boiling point is given: from 6000 m above the sea to
// 500 m below it.
const (
	thinnest quantity.Kilopascal = 47
	densest  quantity.Kilopascal = 108
)

// BoilingAt is the boiling point at an air pressure: where the vapour of water over
// the mix reaches it. It refuses, with ErrRange, pressures outside 47 to 108 kPa.
// Water leaves first, so a mix that boils for long grows stronger and boils hotter.
func (m Mix) BoilingAt(p quantity.Kilopascal) (quantity.Celsius, error) {
	if !(p >= thinnest && p <= densest) {
		return 0, fmt.Errorf("boiling at %v: %w: %v to %v", p, ErrRange, thinnest, densest)
	}
	return m.boilingAt(p), nil
}

// boilingAt halves 60..130 °C until nothing is left of it.
func (m Mix) boilingAt(p quantity.Kilopascal) quantity.Celsius {
	low, high := quantity.Celsius(60), quantity.Celsius(130)
	for range 45 {
		mid := (low + high) / 2
		if k := mid.Absolute(); activity(m.w, k)*saturation(k) < float64(p) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// AirPressure is the mean air pressure at an elevation: ICAO standard atmosphere,
// below 11 km; constants from memory, the test compares with its table. Weather
// moves it by about ±3 kPa, which is ±0.8 K in a boiling point. It refuses, with
// ErrRange, elevations outside -500 to 6000 m.
func AirPressure(elevation quantity.Metre) (quantity.Kilopascal, error) {
	if !(elevation >= -500 && elevation <= 6000) {
		return 0, fmt.Errorf("elevation %v: %w: -500 to 6000 m", elevation, ErrRange)
	}
	return Atmosphere * quantity.Kilopascal(math.Pow(1-0.0065/288.15*float64(elevation), 5.25588)), nil
}
