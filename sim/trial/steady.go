package trial

import (
	"math"
	"slices"
)

// sure is the normal deviate that chance passes in one run of a hundred, one-sided.
const sure = 2.326

// leastWander is the share of a run's rise by which readings must leave the curve for longer
// than one reading before anything is said of the power. Our choice: a fifth less sun for ten
// minutes of three hours, which changes the power that is found by 1 %, leaves two thousandths.
const leastWander = 0.001

// wander is by how much readings leave the curve for longer than one reading, K, and
// whether that is more than chance and rounding. off are the differences from it.
//
// The test is J. von Neumann's (Distribution of the ratio of the mean square successive
// difference to the variance, Annals of Mathematical Statistics 12 (1941) 367), as L. C.
// Young writes it (On randomness in ordered sequences, the same volume, 293):
// C = 1 - Σ(eᵢ - eᵢ₋₁)²/2Σe² has the mean 0 and the variance (n-2)/(n²-1) where readings
// scatter independently, and is about normal from n = 20 on (a test holds it against the
// published table). Steps of the probe make scatter that lasts, of step²/12 at most
// where the liquid is slow: that much is taken off first.
func (r *Run) wander(off []float64) (float64, bool) {
	sum, between := 0.0, 0.0
	for i, e := range off {
		sum += e * e
		if i > 0 {
			between += (e - off[i-1]) * (e - off[i-1])
		}
	}
	if sum == 0 {
		return 0, false
	}
	n, step := float64(len(off)), r.step()
	lasting := (sum-between/2)/n - step*step/12
	chance := sum / n * scatter(n)
	wander := math.Sqrt(max(lasting, 0))
	return wander, lasting > sure*chance && wander > leastWander*r.rise()
}

// scatter is C's standard deviation over n independent readings.
func scatter(n float64) float64 { return math.Sqrt((n - 2) / (n*n - 1)) }

// step of the readings, K: the least between two that differ.
func (r *Run) step() float64 {
	seen := make([]float64, len(r.Readings))
	for i := range r.Readings {
		seen[i] = r.Readings[i].Liquid
	}
	slices.Sort(seen)
	least := math.Inf(1)
	for i := 1; i < len(seen); i++ {
		if d := seen[i] - seen[i-1]; d > leastOff {
			least = min(least, d)
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}

// rise is between the coldest and the warmest reading, K.
func (r *Run) rise() float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range r.Readings {
		low, high = min(low, r.Readings[i].Liquid), max(high, r.Readings[i].Liquid)
	}
	return high - low
}

// Varied is how much the power, as it was recorded, varied while it was on: its standard
// deviation over its mean, by time. 0 where it was never on.
func (r *Run) Varied() float64 {
	time, sum, squares := 0.0, 0.0, 0.0
	for i := 1; i < len(r.Readings); i++ {
		h, on := r.Readings[i].At-r.Readings[i-1].At, r.Readings[i-1].On
		if on > 0 {
			time, sum, squares = time+h, sum+h*on, squares+h*on*on
		}
	}
	if sum == 0 {
		return 0
	}
	mean := sum / time
	return math.Sqrt(max(squares/time-mean*mean, 0)) / mean
}
