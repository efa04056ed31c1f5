package config

import (
	"fmt"
	"strconv"

	"duskloop/control"
	"duskloop/sensors/quantity"
)

// Text is a name or an address.
type Text string

// Set takes any text.
func (t *Text) Set(text string) error { *t = Text(text); return nil }

// String is the text itself.
func (t Text) String() string { return string(t) }

// Flag is true or false.
type Flag bool

// Set reads true or false.
func (f *Flag) Set(text string) error {
	switch text {
	case "true":
		*f = true
	case "false":
		*f = false
	default:
		return fmt.Errorf("write true or false, not %q", text)
	}
	return nil
}

// String is true or false.
func (f Flag) String() string { return strconv.FormatBool(bool(f)) }

// Count is a whole number.
type Count int64

// Set reads a whole number, decimal or 0x hexadecimal.
func (c *Count) Set(text string) error {
	n, err := strconv.ParseInt(text, 0, 64)
	if err != nil {
		return fmt.Errorf("write a whole number, not %q", text)
	}
	*c = Count(n)
	return nil
}

// String is the number.
func (c Count) String() string { return strconv.FormatInt(int64(c), 10) }

// Ratio is a bare number without a unit.
type Ratio float64

// Set reads a number.
func (r *Ratio) Set(text string) error {
	n, err := strconv.ParseFloat(text, 64)
	if err != nil || !quantity.Finite(n) {
		return fmt.Errorf("write a number without a unit, not %q", text)
	}
	*r = Ratio(n)
	return nil
}

// String is the number.
func (r Ratio) String() string { return strconv.FormatFloat(float64(r), 'g', -1, 64) }

// Chemistry is the kind of battery by name.
type Chemistry struct{ Kind control.Chemistry }

// Set reads flooded, agm or lifepo4.
func (c *Chemistry) Set(text string) error {
	switch text {
	case "flooded":
		c.Kind = control.Flooded
	case "agm":
		c.Kind = control.AGM
	case "lifepo4":
		c.Kind = control.LFP
	default:
		return fmt.Errorf("a battery is flooded, agm or lifepo4, not %q", text)
	}
	return nil
}

// String is the name.
func (c Chemistry) String() string {
	return [...]string{"flooded", "agm", "lifepo4"}[c.Kind]
}
