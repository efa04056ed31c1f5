package night

import "math"

// solve h x = g by Cholesky's factors; h's lower half counts. The widths are the roots
// of the inverse's diagonal.
func solve(h *[unknowns][unknowns]float64, g *[unknowns]float64) (x, widths [unknowns]float64, ok bool) {
	l := *h
	for i := range unknowns {
		for k := range i + 1 {
			sum := l[i][k]
			for m := range k {
				sum -= l[i][m] * l[k][m]
			}
			if i > k {
				l[i][k] = sum / l[k][k]
				continue
			}
			if !(sum > 0) {
				return x, widths, false
			}
			l[i][i] = math.Sqrt(sum)
		}
	}
	x = back(&l, g)
	for i := range unknowns {
		var unit [unknowns]float64
		unit[i] = 1
		column := back(&l, &unit)
		widths[i] = math.Sqrt(column[i])
	}
	return x, widths, true
}

func back(l *[unknowns][unknowns]float64, g *[unknowns]float64) (x [unknowns]float64) {
	for i := range unknowns {
		sum := g[i]
		for k := range i {
			sum -= l[i][k] * x[k]
		}
		x[i] = sum / l[i][i]
	}
	for i := unknowns - 1; i >= 0; i-- {
		sum := x[i]
		for k := i + 1; k < unknowns; k++ {
			sum -= l[k][i] * x[k]
		}
		x[i] = sum / l[i][i]
	}
	return x
}
