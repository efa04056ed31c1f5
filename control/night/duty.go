package night

import "math"

// Drive is how pump and fans answer to a duty.
type Drive int

// The drives.
const (
	// Pulsed runs fully or not at all: a duty is a share of the time.
	Pulsed Drive = iota
	// Varied runs slower: the conductance goes with the root of the speed, the power
	// with a tenth of it fixed and the rest with speed^2.5, as in the simulated plant;
	// below Slowest it pulses at that speed.
	Varied
)

// Slowest is the least speed of a Varied drive: about where it moves most heat for
// its power, so that pulsing below costs nothing.
const Slowest = 0.25

// Split is how a share of full conductance is run: for what share of the time, and how
// fast.
func (d Drive) Split(x float64) (running, speed float64) {
	switch {
	case d == Pulsed:
		return x, 1
	case x*x >= Slowest:
		return 1, x * x
	}
	return x / math.Sqrt(Slowest), Slowest
}

// Ran is what pump and fans at their speeds, as shares of full, give of conductance and
// draw of power.
func Ran(pump, fans float64) (flow, power float64) {
	return math.Sqrt(math.Sqrt(pump * fans)), (Drawn(pump) + Drawn(fans)) / 2
}

// Drawn is the power that a motor at a speed draws, both as shares of full.
func Drawn(speed float64) float64 {
	if speed <= 0 {
		return 0
	}
	return 0.1 + 0.9*math.Pow(speed, 2.5)
}

// shares of conductance and power at the planned share x of full conductance, and
// their slopes.
func (d Drive) shares(x float64) (flow, power, slope float64) {
	if d == Pulsed {
		return x, x, 1
	}
	s := x * x
	if s < Slowest {
		root := math.Sqrt(Slowest)
		p := (0.1 + 0.9*math.Pow(Slowest, 2.5)) / root
		return x, p * x, p
	}
	x4 := x * x * x * x
	return x, 0.1 + 0.9*x4*x, 4.5 * x4
}
