package foresight

import "math"

// proof is the certificate. With prices of at least zero for the walls that tie a minute
// to the state, damage plus priced excess is convex and never above the damage of
// anything allowed; from the point's own value and slope it falls at most to the lowest
// of the corners of each minute's duty and heat.
func (b *barrier) proof() float64 {
	var worth vector
	total, k := 0.0, b.w.plant.Coil
	for i := len(b.stages) - 1; i >= 0; i-- {
		s := &b.stages[i]
		v, all := variables(&b.z[i], b.x[i]), b.walls(s)
		var by [2]float64
		short := max(0, b.w.minimum-v[inAir])
		total += short * short
		worth[inAir] -= 2 * short
		for k := range all[4:] {
			wl := &all[4+k]
			price := b.mu / wl.slack(&v)
			total -= b.mu // price times slack
			for r := range parts {
				worth[r] += price * wl.row[r]
			}
			by[0] += price * wl.row[inDuty]
			by[1] += price * wl.row[inHeat]
		}
		for r := range parts {
			by[0] += worth[r] * b.g[0][r]
			by[1] += worth[r] * b.g[1][r]
		}
		here := by[0]*v[inDuty] + by[1]*v[inHeat]
		total += min(0, by[0]+by[1]*k*s.low, by[0]+by[1]*k*s.high) - here
		worth = b.f.transposed(&worth)
	}
	if math.IsNaN(total) {
		return 0
	}
	return total
}
