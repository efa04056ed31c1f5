package coil

import (
	"errors"
	"fmt"
	"math"
)

// Arrangement is how the two streams of an exchanger pass each other.
type Arrangement int

// The arrangements that are known.
const (
	// CrossUnmixed is cross-flow with both streams held in channels: a finned coil
	// with several tubes side by side.
	CrossUnmixed Arrangement = iota
	Counter
	Parallel
	// CrossLargeMixed is cross-flow with only the larger stream mixed, CrossSmallMixed
	// with only the smaller.
	CrossLargeMixed
	CrossSmallMixed
)

// ErrRange is wrapped by every refusal of a figure outside the range of a formula.
var ErrRange = errors.New("outside the range of the formula")

// MostUnits is the largest number of transfer units that is judged.
const MostUnits = 200

// Effectiveness is the share of the greatest possible heat that passes, for the
// number of transfer units and the ratio of the smaller to the larger capacity
// rate. The refusal wraps ErrRange: units 0 to MostUnits, ratio 0 to 1.
//
// All are exact. Counter, Parallel and the two with one stream mixed: Kays & London
// (in Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, table 11.3; the
// latter two from memory). CrossUnmixed is the series of Mason (Proc. 2nd U.S.
// Nat. Congr. Appl. Mech., 1954; from memory); the short approximation of the same
// table is up to 3.7 % off below one unit. The tests solve the equations of each.
func Effectiveness(a Arrangement, units, ratio float64) (float64, error) {
	if !(units >= 0 && units <= MostUnits && ratio >= 0 && ratio <= 1) {
		return 0, fmt.Errorf("effectiveness at %g transfer units, ratio %g: %w: units 0 to %d, ratio 0 to 1", units, ratio, ErrRange, MostUnits)
	}
	if a < CrossUnmixed || a > CrossSmallMixed {
		return 0, fmt.Errorf("effectiveness: arrangement %d: %w", a, ErrRange)
	}
	return effectiveness(a, units, ratio), nil
}

// still is a ratio below which the larger stream keeps its temperature.
const still = 1e-9

func effectiveness(a Arrangement, n, c float64) float64 {
	if c < still || n == 0 {
		return -math.Expm1(-n)
	}
	switch a {
	case Counter:
		if 1-c < still {
			return n / (1 + n)
		}
		e := math.Exp(-n * (1 - c))
		return (1 - e) / (1 - c*e)
	case Parallel:
		return -math.Expm1(-n*(1+c)) / (1 + c)
	case CrossLargeMixed:
		return -math.Expm1(c*math.Expm1(-n)) / c
	case CrossSmallMixed:
		return -math.Expm1(math.Expm1(-c*n) / c)
	}
	return unmixed(n, c)
}

// unmixed is 1/(Cr NTU) Σ p_k(NTU) p_k(Cr NTU), where p_k(x) is what e^x has beyond
// its first k+1 terms, as a share of it: the chance that a Poisson variable of mean
// x exceeds k. The terms fall faster than any power once k passes Cr NTU.
func unmixed(n, c float64) float64 {
	termN, termC := math.Exp(-n), math.Exp(-c*n)
	restN, restC := -math.Expm1(-n), -math.Expm1(-c*n)
	sum := 0.0
	for k := 1; ; k++ {
		product := restN * restC
		sum += product
		if product < 1e-12*sum || k > 2*MostUnits {
			return sum / (c * n)
		}
		termN *= n / float64(k)
		termC *= c * n / float64(k)
		restN, restC = max(restN-termN, 0), max(restC-termC, 0)
	}
}
