package battery

import (
	"fmt"
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// PeukertTime is how long a full battery carries a constant current by Peukert's law
// (W. Peukert, Elektrotechnische Zeitschrift 20, 1897, 287), written for a capacity
// that is rated over a time, as batteries are labelled:
//
//	t = tR (C / (I tR))^k
//
// The exponent k is 1.05 to 1.15 for AGM, 1.1 to 1.25 for gel, 1.2 to 1.6 for flooded
// batteries (a battery page, weak). The short form t = C/I^k holds only where C is
// the capacity at 1 A. Valid for currents from a fifth of the rated one to C in half
// an hour; slower than rated it promises too much. It is a rule for a constant
// current at one temperature: the model in this package does not use it.
func PeukertTime(rated quantity.AmpereHour, in time.Duration, load quantity.Ampere, k float64) (time.Duration, error) {
	if !(rated > 0) || in <= 0 || !quantity.Finite(rated) {
		return 0, fmt.Errorf("time by Peukert of %v in %v: must be above zero", rated, in)
	}
	if !(k >= 1 && k <= 1.6) {
		return 0, fmt.Errorf("exponent of Peukert %g: must be 1 to 1.6", k)
	}
	share := float64(load) * in.Hours() / float64(rated)
	if !(share >= 0.2 && float64(load) <= 2*float64(rated)) {
		return 0, fmt.Errorf("time by Peukert of %v on %v in %v: outside a fifth of the rated current to twice the capacity an hour", load, rated, in)
	}
	return time.Duration(float64(in) * math.Pow(share, -k)), nil
}
