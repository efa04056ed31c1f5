// Package tune searches settings on simulated winters: which set of knobs leaves the crop the
// fewest squared degree-hours below its minimum, then the least battery and pump starts.
//
// It asks and is told: every round is a list of asks (a set, a stretch of winter, a draw of the
// greenhouse), which the caller flies as it likes, on all cores or from a memory of an earlier
// run. For a seed and the same answers it asks the same again, so that a search can be resumed.
//
// A set is worth nothing for having been the luckiest on the weather that it was searched on.
// So the stretches are in two halves: sets are searched on one and judged on the other, month
// by month; and what then stands must be better than today's settings on greenhouses drawn
// within what the fit does not know. Otherwise nothing is changed.
package tune
