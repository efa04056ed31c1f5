package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// spread are the standard errors of the figures searched, in a logarithm or in K: of the
// whole, and of what the record says by itself.
type spread struct {
	all, own []float64
	degrees  float64 // of freedom
}

// holesErr is what lost minutes of the nights cost beside, as a share of a figure for a share
// lost: they are not lost at random, but where pump and fans were switched. Our choice, from a
// demo that ran too fast to be recorded whole.
const holesErr = 0.75

// spreads are from half a day's blocks, whose differences follow each other as they like:
// the bread of the curvature around the meat of the blocks (Liang & Zeger, Biometrika 73,
// 1986, 13), with n/(n-1) for few of them.
func (s *solved) spreads() (spread, error) {
	x := s.search
	x.slopes(s.z)
	h, _ := x.normal(&s.by)
	n := len(x.of)
	var bread mat.Cholesky
	if !bread.Factorize(h) {
		return spread{}, errNowhere
	}
	var inverse mat.SymDense
	if err := bread.InverseTo(&inverse); err != nil {
		return spread{}, errNowhere
	}
	meat, blocks := x.meat()
	for i, f := range x.of {
		meat.SetSym(i, i, meat.At(i, i)+1/(table[f].prior*table[f].prior))
	}
	holed := holesErr * x.laid.lost()
	var once, cov mat.Dense
	once.Mul(&inverse, meat)
	cov.Mul(&once, &inverse)
	out := spread{all: make([]float64, n), own: make([]float64, n), degrees: float64(blocks - 1)}
	for i, f := range x.of {
		v := cov.At(i, i)
		v += table[f].slack*table[f].slack + holed*holed
		out.all[i], out.own[i] = math.Sqrt(v), math.Inf(1)
		if p := 1/v - 1/(table[f].prior*table[f].prior); p > 0 {
			out.own[i] = 1 / math.Sqrt(p)
		}
	}
	return out, nil
}

// meat are the blocks' gradients, each with itself, and how many blocks there are.
func (s *search) meat() (*mat.SymDense, int) {
	n := len(s.of)
	sums := make(map[int][]float64)
	for r, x := range s.base {
		b := s.laid.block[x.minute]
		if sums[b] == nil {
			sums[b] = make([]float64, n)
		}
		w := s.widths[x.kind]
		d := damp(x.off/w) / kin
		for i := range n {
			sums[b][i] += d * s.slope[i][r] / w * x.off / w
		}
	}
	meat := mat.NewSymDense(n, nil)
	for _, g := range sums {
		meat.SymRankOne(meat, 1, mat.NewVecDense(n, g))
	}
	if k := float64(len(sums)); k > 1 {
		meat.ScaleSym(k/(k-1), meat)
	}
	return meat, len(sums)
}

// half95 is how many standard errors half of a 95 % interval has.
func (s spread) half95() float64 {
	if s.degrees < 1 {
		return math.Inf(1)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: s.degrees}.Quantile(0.975)
}
