package pv

import (
	"fmt"

	"duskloop/sensors/quantity"
)

// RatedResistance is that of an element which takes a power at a voltage, R = V²/P,
// as its label says; hot or cold, since heating wire changes by a few per cent at
// most (common practice, no source). 1 W to 20 kW at 1 V to 1000 V.
func RatedResistance(power quantity.Watt, at quantity.Volt) (quantity.Ohm, error) {
	if !(power >= 1 && power <= 20000) || !(at >= 1 && at <= 1000) {
		return 0, fmt.Errorf("an element of %v at %v: must be 1 W to 20 kW at 1 to 1000 V", power, at)
	}
	return quantity.Ohm(float64(at) * float64(at) / float64(power)), nil
}
