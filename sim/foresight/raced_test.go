//go:build race

package foresight_test

// raced shortens the winters: the race detector makes these loops ten times as slow,
// and finds nothing in them, since nothing runs beside them.
const raced = true
