package quantity

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// ErrUnit is wrapped by every parse failure, so that a caller can tell a
// badly written quantity from other faults.
var ErrUnit = errors.New("not a quantity")

// A unit converts a written number to the type's own unit: value*scale+offset.
// The first name is the one used in messages.
type unit struct {
	names  []string
	scale  float64
	offset float64
}

// parse reads a number and one of the units. what names the quantity in errors.
func parse(text, what string, units []unit) (float64, error) {
	number, name := split(text)
	if number == "" {
		return 0, fmt.Errorf("%w: %q has no number; write %s as a number and a unit (%s)", ErrUnit, text, what, list(units))
	}
	value, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsInf(value, 0) || math.IsNaN(value) {
		return 0, fmt.Errorf("%w: %q is not a number; use digits and a decimal point", ErrUnit, number)
	}
	if name == "" {
		return 0, fmt.Errorf("%w: %q has no unit; write %s in %s", ErrUnit, text, what, list(units))
	}
	for _, u := range units {
		for _, n := range u.names {
			if n == name {
				return convert(value, u, text)
			}
		}
	}
	return 0, fmt.Errorf("%w: %q is no unit of %s; use %s", ErrUnit, name, what, list(units))
}

// convert brings value into the type's own unit. A finite number may overflow
// on the way (1e308 kW), and infinity must not come in by that door either.
func convert(value float64, u unit, text string) (float64, error) {
	value = value*u.scale + u.offset
	if !Finite(value) {
		return 0, fmt.Errorf("%w: %q is too large", ErrUnit, text)
	}
	return value, nil
}

// split separates the leading number from the unit, with spaces folded.
func split(text string) (number, name string) {
	text = strings.ReplaceAll(strings.Join(strings.Fields(text), " "), "\u2212", "-")
	end := 0
	for end < len(text) && strings.ContainsRune("+-.0123456789", rune(text[end])) {
		end++
	}
	end = exponent(text, end)
	return text[:end], strings.TrimLeftFunc(text[end:], unicode.IsSpace)
}

// exponent extends end over an exponent such as e-3 when digits follow it.
func exponent(text string, end int) int {
	if end == 0 || end >= len(text) || (text[end] != 'e' && text[end] != 'E') {
		return end
	}
	next := end + 1
	if next < len(text) && (text[next] == '-' || text[next] == '+') {
		next++
	}
	first := next
	for next < len(text) && text[next] >= '0' && text[next] <= '9' {
		next++
	}
	if next == first {
		return end
	}
	return next
}

// list names the units for a message.
func list(units []unit) string {
	names := make([]string, len(units))
	for i, u := range units {
		names[i] = u.names[0]
	}
	return strings.Join(names, ", ")
}

// set parses into a typed quantity.
func set[T ~float64](into *T, text, what string, units []unit) error {
	value, err := parse(text, what, units)
	if err != nil {
		return err
	}
	*into = T(value)
	return nil
}

// Units is the grower's choice of units for printing.
type Units int

// The two families of units that are printed.
const (
	SI Units = iota
	US
)

// Set reads "si" or "us".
func (u *Units) Set(text string) error {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "si":
		*u = SI
	case "us":
		*u = US
	default:
		return fmt.Errorf("%w: units are si or us, not %q", ErrUnit, text)
	}
	return nil
}

// String is the word that Set reads.
func (u Units) String() string {
	if u == US {
		return "us"
	}
	return "si"
}

// Finite says whether v is an ordinary number: neither NaN nor infinite.
func Finite[T ~float64](v T) bool {
	return !math.IsNaN(float64(v)) && !math.IsInf(float64(v), 0)
}

// trim prints v with at most digits decimals and no trailing zeros.
func trim(v float64, digits int) string {
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}
