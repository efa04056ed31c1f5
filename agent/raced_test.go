//go:build race

package agent

// raced leaves most of the long runs out: the race detector makes these loops ten times
// as slow, and finds nothing in them, since nothing runs beside them.
const raced = true
