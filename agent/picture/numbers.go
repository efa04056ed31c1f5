package picture

import "math"

// round are steps that a reader counts by.
var round = [...]float64{1, 2, 2.5, 5, 10}

// ticks are round numbers from low to high, a step apart.
type ticks struct{ low, high, step float64 }

// valueTicks widens a range to round numbers and divides it into at most most steps.
// Below 2 of whatever unit noise is not magnified to a mountain.
func valueTicks(low, high float64, most int) ticks {
	if high-low < 2 {
		mid := (low + high) / 2
		low, high = mid-1, mid+1
	}
	return widened(low, high, most)
}

// widened are the ticks of a range widened to round numbers, at most most steps.
func widened(low, high float64, most int) ticks {
	power := math.Pow(10, math.Floor(math.Log10((high-low)/float64(most))))
	for {
		for _, r := range round {
			step := r * power
			a, b := math.Floor(low/step)*step, math.Ceil(high/step)*step
			if (b-a)/step <= float64(most)+1e-9 {
				return ticks{a, b, step}
			}
		}
		power *= 10
	}
}

// marks are the numbers themselves.
func (t ticks) marks() []float64 {
	var all []float64
	for i := 0; t.low+float64(i)*t.step <= t.high+t.step/1e6; i++ {
		all = append(all, t.low+float64(i)*t.step)
	}
	return all
}

// label is a number with as many decimals as its neighbours need.
func (t ticks) label(v float64) string {
	return trimmed(v, max(1-int(math.Floor(math.Log10(t.step))), 0))
}
