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

// system is C dx/dt = -K x + c in factored form for one step length. Rows and
// columns behind the nodes belong to the points of given temperature: the rows are
// scrap, the columns are brought to the right side. K and its factors are kept as
// long as what they are made of stays: through a quiet night, for hours.
type system struct {
	capacity [nodes]float64
	constant [points]float64

	joined [flows]float64 // the conductances that k was made of
	k      [points][points]float64

	factored struct {
		valid    bool
		h        float64
		capacity [nodes]float64
	}
	lu      [nodes][nodes]float64
	inverse [nodes]float64 // of lu's diagonal
}

// assemble fills K and c from the laws of all flows, with the given temperatures
// of x.
func (s *system) assemble(l *laws, x *temps) {
	if s.joined != l.conductance {
		s.join(&l.conductance)
	}
	s.constant = [points]float64{}
	for f, power := range &l.power {
		w := &ways[f]
		s.constant[w.from] -= power
		s.constant[w.to] += power
	}
	for i := range nodes {
		row := &s.k[i]
		s.constant[i] -= row[atOutdoors]*x[atOutdoors] + row[atSoil]*x[atSoil]
	}
}

// join makes K.
func (s *system) join(conductance *[flows]float64) {
	s.joined, s.factored.valid = *conductance, false
	s.k = [points][points]float64{}
	for f, k := range conductance {
		if k == 0 {
			continue
		}
		w := &ways[f]
		from, to := &s.k[w.from], &s.k[w.to]
		from[w.hot] += k
		from[w.cold] -= k
		to[w.hot] -= k
		to[w.cold] += k
	}
}

// fastest is the largest rate in 1/s at which a node alone would settle.
func (s *system) fastest() float64 {
	rate := 0.0
	for i := range nodes {
		rate = max(rate, s.k[i][i]/s.capacity[i])
	}
	return rate
}

// factor the matrix C/(gamma h) + K without pivoting. That is safe: every row is
// diagonally dominant, because no conductance is negative and the coil takes no
// more from the liquid than the liquid carries.
func (s *system) factor(h float64) {
	done := &s.factored
	if done.valid && done.h == h && done.capacity == s.capacity {
		return
	}
	done.valid, done.h, done.capacity = true, h, s.capacity
	for i := range nodes {
		copy(s.lu[i][:], s.k[i][:nodes])
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

// step is the state after a step of length h from x, and the mean of its two stages
// by their weights: the flows at the mean, times h, are the heat of the step,
// because they are linear.
func (s *system) step(x *temps, h float64) (end, mean temps) {
	s.factor(h)
	var first, second [nodes]float64
	for i := range nodes {
		first[i] = s.capacity[i]/(gamma*h)*x[i] + s.constant[i]
	}
	s.solve(&first)
	for i := range nodes {
		slope := (first[i] - x[i]) / (gamma * h)
		second[i] = s.capacity[i]/(gamma*h)*(x[i]+h*(1-gamma)*slope) + s.constant[i]
	}
	s.solve(&second)
	end, mean = *x, *x
	for i := range nodes {
		end[i] = second[i]
		mean[i] = (1-gamma)*first[i] + gamma*second[i]
	}
	return end, mean
}
