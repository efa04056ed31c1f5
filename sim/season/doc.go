// Package season runs the decision core against the simulated greenhouse directly,
// without the daemon's clocks, goroutines and record: a winter in about a second. The
// daemon's own loop drives the same plant through the same probes in agent; a test
// there shows that both decide alike over a day.
//
// What is simplified against the daemon: every probe answers at every step and is
// believed, so nothing is ever stale or doubted.
package season
