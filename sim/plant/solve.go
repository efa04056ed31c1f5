package plant

import "math"

// gamma of the two-stage, stiffly accurate, L-stable, second-order diagonally
// implicit Runge-Kutta rule (R. Alexander, SIAM J. Numer. Anal. 14, 1977, 1006):
// 1 - 1/√2. Both stages share one matrix; the weights are 1 - gamma and gamma.
const gamma = 1 - math.Sqrt2/2

// monotone is how far a step may go, in units of the fastest node's own time
// constant, before a temperature can leave the range of its neighbours: the
// threshold factor of the rule's stability function (1 + (1-2g)z)/(1-gz)², that is
// 1/(1 - 2 gamma) = 2.41 (Bolley & Crouzeix, RAIRO Anal. Numér. 12, 1978).
const monotone = 1 / (1 - 2*gamma) * 0.999

// system is C dx/dt = -K x + c in factored form for one step length.
type system struct {
	capacity [nodes]float64
	k        [nodes][nodes]float64
	constant [nodes]float64
	lu       [nodes][nodes]float64
	inverse  [nodes]float64 // of lu's diagonal
}

// assemble fills K and c from the laws of all flows.
func (s *system) assemble(laws *[flows]drive) {
	s.k = [nodes][nodes]float64{}
	s.constant = [nodes]float64{}
	for f := range laws {
		d, e := &laws[f], &ends[f]
		constant := d.constant
		if d.k != 0 {
			switch {
			case d.hot < 0:
				constant += d.k * d.fixed
			case d.cold < 0:
				constant -= d.k * d.fixed
			}
		}
		if e.from >= 0 {
			s.leave(e.from, d, +1)
			s.constant[e.from] -= constant
		}
		if e.to >= 0 {
			s.leave(e.to, d, -1)
			s.constant[e.to] += constant
		}
	}
}

// leave adds what the flow takes (sign +1) or brings (-1) to a node's row.
func (s *system) leave(node int, d *drive, sign float64) {
	if d.k == 0 {
		return
	}
	if d.hot >= 0 {
		s.k[node][d.hot] += sign * d.k
	}
	if d.cold >= 0 {
		s.k[node][d.cold] -= sign * d.k
	}
}

// fastest is the largest rate in 1/s at which a node alone would settle.
func (s *system) fastest() float64 {
	rate := 0.0
	for i := range nodes {
		rate = math.Max(rate, s.k[i][i]/s.capacity[i])
	}
	return rate
}

// factor the matrix C/(gamma h) + K without pivoting. That is safe: every row is
// diagonally dominant, because no conductance is negative and the coil takes no
// more from the liquid than the liquid carries.
func (s *system) factor(h float64) {
	s.lu = s.k
	for i := range nodes {
		s.lu[i][i] += s.capacity[i] / (gamma * h)
	}
	for i := range nodes {
		s.inverse[i] = 1 / s.lu[i][i]
		for r := i + 1; r < nodes; r++ {
			if s.lu[r][i] == 0 {
				continue
			}
			m := s.lu[r][i] * s.inverse[i]
			s.lu[r][i] = m
			for c := i + 1; c < nodes; c++ {
				s.lu[r][c] -= m * s.lu[i][c]
			}
		}
	}
}

// solve overwrites b with the solution.
func (s *system) solve(b *[nodes]float64) {
	for i := range nodes {
		row, sum := &s.lu[i], b[i]
		for c := range i {
			sum -= row[c] * b[c]
		}
		b[i] = sum
	}
	for i := nodes - 1; i >= 0; i-- {
		row, sum := &s.lu[i], b[i]
		for c := i + 1; c < nodes; c++ {
			sum -= row[c] * b[c]
		}
		b[i] = sum * s.inverse[i]
	}
}

// stages are the temperatures at which the flows of a step of length h from x are
// to be taken, with weights 1 - gamma and gamma. The second is also the end of the
// step.
func (s *system) stages(x *[nodes]float64, h float64) (first, second [nodes]float64) {
	s.factor(h)
	for i := range nodes {
		first[i] = s.capacity[i]/(gamma*h)*x[i] + s.constant[i]
	}
	s.solve(&first)
	for i := range nodes {
		slope := (first[i] - x[i]) / (gamma * h)
		second[i] = s.capacity[i]/(gamma*h)*(x[i]+h*(1-gamma)*slope) + s.constant[i]
	}
	s.solve(&second)
	return first, second
}
