// Package tuning turns the knobs that package tune searches: which settings of a greenhouse
// file they are and how far they may go, the stretches of winter that sets are flown on, and
// one flight of a set by the daemon's own rules.
//
// A knob that people or hardware rest on is not turned: the tank's limits, the frost guard, the
// battery's cut-off and the crop's minimum stay as the grower has them, and a reserve is never
// taken below what its chemistry bears.
package tuning
