//go:build !race

package season_test

const raced = false
