//go:build race

package season_test

// raced shortens what flies whole winters to judge a figure: the race detector makes it
// ten times as slow and finds nothing in it. The check runs it once more without.
const raced = true
