package cable

import (
	"errors"
	"fmt"

	"duskloop/sensors/quantity"
)

// copper is its resistivity in ohm mm²/m as it is used for cable, a few per cent above the
// 0.01724 of the annealed copper of IEC 60028 at 20 °C (from memory): strands, and a warm
// cable. 0.4 % more for each kelvin is left out. For 0.05 to 500 mm².
const copper = 0.0178

// ErrRange is wrapped by every refusal of a cable that cannot be.
var ErrRange = errors.New("no such cable")

// Pair is two wires, there and back.
type Pair struct {
	Length  quantity.Metre // one way
	Section quantity.SquareMillimetre
	Carries quantity.Ampere // by its maker and the local code; 0: not told
}

// Validate refuses what no pair is.
func (p Pair) Validate() error {
	if !(p.Length > 0 && p.Length <= 500) || !(p.Section >= 0.05 && p.Section <= 500) || !(p.Carries >= 0 && p.Carries <= 1000) {
		return fmt.Errorf("%w: %v long, %v, %v: known is up to 500 m, 0.05 to 500 mm2 and 1000 A", ErrRange, p.Length, p.Section, p.Carries)
	}
	return nil
}

// Resistance of both wires.
func (p Pair) Resistance() quantity.Ohm {
	return quantity.Ohm(2 * float64(p.Length) * copper / float64(p.Section))
}

// Drop is what a current loses on the way there and back.
func (p Pair) Drop(i quantity.Ampere) quantity.Volt {
	return quantity.Volt(float64(i) * float64(p.Resistance()))
}

// Section is the least cross-section that loses no more than drop.
func Section(length quantity.Metre, i quantity.Ampere, drop quantity.Volt) quantity.SquareMillimetre {
	return quantity.SquareMillimetre(2 * float64(length) * copper * float64(i) / float64(drop))
}

// fuses that are sold, A: the usual blade fuses of vehicles (ISO 8820-3; from memory).
var fuses = [...]quantity.Ampere{1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 80, 100}

// loaded is the share of a fuse that flows for hours at most (common practice, no source).
const loaded = 0.8

// Fuse is the smallest usual one that carries a load for hours; ok is false where there is
// none, or where it is more than the cable carries: a fuse protects the cable.
func (p Pair) Fuse(load quantity.Ampere) (fuse quantity.Ampere, ok bool) {
	for _, f := range fuses {
		if load <= loaded*f {
			return f, p.Carries == 0 || f <= p.Carries
		}
	}
	return 0, false
}
