//go:build race

package agent

// raced shortens what flies whole winters to judge a figure; see the one of sim/season.
const raced = true
