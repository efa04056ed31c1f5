package main

import (
	"fmt"
	"strconv"
	"strings"

	"duskloop/sensors/quantity"
)

// bareNumber reads a number without a unit, finite.
func bareNumber(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(text), "\u2212", "-"), 64)
	if err != nil || !quantity.Finite(v) {
		return 0, fmt.Errorf("%q is no number; use digits and a decimal point", text)
	}
	return v, nil
}
