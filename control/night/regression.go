package night

import (
	"errors"
	"fmt"
)

// Evening is one night of the past: air and dew point two hours after sunset and the
// minimum that came, °C. Dew may be absent, in all or in none.
type Evening struct{ Air, Dew, Minimum Known }

// Regression says a night's minimum by the evening: a Air + b Dew + c (Snyder & de
// Melo-Abreu, Frost Protection, FAO 2005, ch. 5). It is for nights of radiation, wind
// below 2 m/s without cloud, fog or rain, and for the place and season of the nights it
// rests on, never for another.
type Regression struct{ a, b, c float64 }

// ErrRegression is a set of evenings that no line goes through.
var ErrRegression = errors.New("no regression of the minimum")

// Regress fits in two steps, as the book does: the minima by the air, and what that
// leaves by the dew point. Three evenings are needed, not all alike.
func Regress(nights []Evening) (r Regression, err error) {
	if len(nights) < 3 {
		return r, fmt.Errorf("%w: %d evenings, and 3 are needed", ErrRegression, len(nights))
	}
	dew := known(nights[0].Dew)
	for i, n := range nights {
		if !known(n.Air) || !known(n.Minimum) || known(n.Dew) != dew {
			return r, fmt.Errorf("%w: evening %d lacks a figure that others have", ErrRegression, i+1)
		}
	}
	var ok bool
	r.a, r.c, ok = straight(nights, func(n *Evening) (x, y float64) { return n.Air, n.Minimum })
	if !ok {
		return r, fmt.Errorf("%w: all evenings as warm", ErrRegression)
	}
	if !dew {
		return r, nil
	}
	b, c, ok := straight(nights, func(n *Evening) (x, y float64) { return n.Dew, n.Minimum - r.a*n.Air - r.c })
	if !ok {
		return r, fmt.Errorf("%w: all evenings as moist", ErrRegression)
	}
	r.b, r.c = b, r.c+c
	return r, nil
}

// straight is the line y = slope x + c of least squares; not ok where every x is the same.
func straight(nights []Evening, of func(*Evening) (x, y float64)) (slope, c float64, ok bool) {
	var x1, y1, xx, xy float64
	n := float64(len(nights))
	for i := range nights {
		x, y := of(&nights[i])
		x1, y1 = x1+x/n, y1+y/n
	}
	for i := range nights {
		x, y := of(&nights[i])
		xx, xy = xx+(x-x1)*(x-x1), xy+(x-x1)*(y-y1)
	}
	if !(xx > 1e-9) {
		return 0, 0, false
	}
	slope = xy / xx
	return slope, y1 - slope*x1, true
}

// Minimum of the night that begins with an evening; its own Minimum is not looked at.
func (r Regression) Minimum(e Evening) Known {
	if r.b == 0 {
		return r.a*e.Air + r.c
	}
	return r.a*e.Air + r.b*e.Dew + r.c
}
