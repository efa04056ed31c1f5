package foresight

import "math"

// Law says what a share of the coil's full conductance costs.
type Law interface {
	// Power is the share of full power, and its slope, for a share of the conductance
	// above 0 and up to 1.
	Power(share float64) (power, slope float64)
	// Lowest is the least share at which pump and fans can run; below, they pulse.
	Lowest() float64
}

// FixedSpeed runs fully or not at all: a share is a share of time.
type FixedSpeed struct{}

// Power is the share itself.
func (FixedSpeed) Power(share float64) (power, slope float64) { return share, 1 }

// Lowest is 1.
func (FixedSpeed) Lowest() float64 { return 1 }

// VariableSpeed lets pump and fans turn slower: at a speed s the coil has √s of its
// conductance, for 0.1 + 0.9·s^2.5 of the power. Below the speed of the least power per
// conductance it pulses at that speed. The law is an assumption of ours, made to see
// what variable speed can be worth; no pump was measured.
type VariableSpeed struct{}

// Power by the law above, with share = √s.
func (v VariableSpeed) Power(share float64) (power, slope float64) {
	if low := v.Lowest(); share < low {
		p, _ := v.Power(low)
		return p * share / low, p / low
	}
	fourth := share * share * share * share
	return 0.1 + 0.9*fourth*share, 4.5 * fourth
}

// Lowest is where a tangent from nothing touches the law: 0.1 = 3.6·share⁵.
func (VariableSpeed) Lowest() float64 { return lowestShare }

var lowestShare = math.Pow(0.1/3.6, 0.2)
