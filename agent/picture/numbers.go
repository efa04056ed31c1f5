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

// reach is from the least to the greatest.
type reach struct{ low, high float64 }

// nowhere is the reach of nothing.
func nowhere() reach { return reach{math.Inf(1), math.Inf(-1)} }

func (r reach) with(v float64) reach { return reach{min(r.low, v), max(r.high, v)} }

// seen widens a reach that is too short to be more than noise, so that equal values are
// drawn too: below a fiftieth of its numbers, or below a hundredth (both chosen).
func (r reach) seen() reach {
	least := max(math.Abs(r.low)/50, math.Abs(r.high)/50, 0.01)
	if r.low == 0 && r.high == 0 {
		least = 1
	}
	if r.high-r.low >= least {
		return r
	}
	mid := (r.low + r.high) / 2
	return reach{mid - least, mid + least}
}

// inside are at most most round numbers inside a reach.
func (r reach) inside(most int) ticks {
	power := math.Pow(10, math.Floor(math.Log10((r.high-r.low)/float64(most))))
	for {
		for _, k := range round {
			step := k * power
			a, b := math.Ceil(r.low/step-1e-9)*step, math.Floor(r.high/step+1e-9)*step
			if (b-a)/step+1 <= float64(most)+1e-9 {
				return ticks{a, b, step}
			}
		}
		power *= 10
	}
}

// widest is the room that the longest label takes.
func (t ticks) widest() float64 {
	most := 0.0
	for _, v := range t.marks() {
		most = max(most, textWidth(t.label(v), small, false))
	}
	return most
}

func (t ticks) fit(wide float64) bool {
	return float64(len(t.marks()))*(t.widest()+10) <= wide
}

// significant is a number to four figures, or to the whole.
func significant(v float64) string {
	if v == 0 {
		return "0"
	}
	return trimmed(v, max(3-int(math.Floor(math.Log10(math.Abs(v)))), 0))
}
