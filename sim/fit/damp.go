package fit

import "math"

// outlying is the number of widths beyond which a difference is damped (Huber, Annals of
// Mathematical Statistics 35, 1964, 73). Our choice.
const outlying = 2.0

// bound brings what is searched into reach, and says how steeply.
func bound(z, reach float64) (x, slope float64) {
	t := math.Tanh(z / reach)
	return reach * t, 1 - t*t
}

// half of a square, damped beyond outlying.
func half(x float64) float64 {
	if x = math.Abs(x); x > outlying {
		return outlying * (x - outlying/2)
	}
	return x * x / 2
}

// damp is the weight of a difference in widths.
func damp(x float64) float64 { return min(1, outlying/max(math.Abs(x), 1e-12)) }
