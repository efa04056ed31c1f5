// Package metrics serves the latest figures as OpenMetrics 1.0 text, for whoever
// draws curves or keeps watch over several machines
// (github.com/prometheus/OpenMetrics, specification/OpenMetrics.md, v1.0.0).
//
// The loop hands over a Status at the end of each tick and goes on; a request reads
// the last one handed over. So nobody who asks can hold the loop up. What is not known
// is left out, never zero. Ages go on growing while the loop stands still.
//
// Nobody is asked for a password and nothing is encrypted: the address to listen at is
// the grower's choice, and nothing can be switched by it.
package metrics
