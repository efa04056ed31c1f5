//go:build !race

package sizing_test

const raced = false
