//go:build !race

package foresight_test

const raced = false
