//go:build race

package sizing_test

// raced leaves out what flies whole winters to judge a figure: the race detector makes it
// ten times as slow and finds nothing in it. The check runs it once more without.
const raced = true
