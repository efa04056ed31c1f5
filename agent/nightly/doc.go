// Package nightly sums up recorded nights, each from noon to noon: the coldest tunnel air,
// the heat and the battery that were spent, what the plan expected at dusk, the cold below
// the crop's minimum and the alerts. It is handed readings and events in their order, and
// what a twin made of the night without heat; it opens nothing.
//
// A reading holds until the next one, for three periods at most; before a longer silence it
// holds for one period, and then nothing is known and nothing is counted.
//
// Figures are in SI units and the document's members end in theirs; what is not known is
// absent, never zero. Cold is in squared degree-hours, K²h: an hour 2 K below the crop's
// minimum is 4 of them.
package nightly
