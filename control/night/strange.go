package night

import (
	"math"
	"slices"
)

// A day that is stranger to a fit than the others by more than strange times is trusted the
// less, by the fourth power: one day of a probe that is off, or of a pump that moves nothing,
// must not teach what six days do not say. A file that is wrong is wrong every day. Days
// alike within usual, in widths, are all believed. All are our choices.
const (
	weekDays = fitted / slotsADay
	strange  = 2.0
	usual    = 0.3
)

// days are those of a week's residuals, in their order.
func (w *week) days() (of []int) {
	for k := 0; k+1 < len(w.slots); k++ {
		if w.fresh[k-k%piece] {
			of = append(of, k/slotsADay, k/slotsADay)
		}
	}
	return of
}

// damped is the weight of a residual that may be an outlier.
func damped(x float64) float64 {
	if a := math.Abs(x); a > outlying {
		return outlying / a
	}
	return 1
}

// trust is the weight of each day by its residuals.
func (g *gauss) trust() (of [weekDays]float64) {
	var n [weekDays]float64
	for r, x := range g.base {
		of[g.day[r]] += damped(x) * x * x
		n[g.day[r]]++
	}
	var seen []float64
	for d := range of {
		if n[d] > 0 {
			of[d] = math.Sqrt(of[d] / n[d])
			seen = append(seen, of[d])
		}
	}
	slices.Sort(seen)
	allowed := strange * max(usual, seen[len(seen)/2])
	for d, x := range of {
		of[d] = min(1, math.Pow(allowed/max(x, allowed), 4))
	}
	return of
}
