package config

import (
	"fmt"
	"slices"
	"strings"

	"duskloop/sensors/quantity"
)

// A field is one key of the greenhouse file. Its section is the part before
// the point. A field of a loop is found below loop.NAME.
type field struct {
	key      string
	about    string // comment in the example
	initial  string // default, as it would be written; empty: none
	required bool
	live     bool // may be changed while the daemon runs
	at       func(*File, *Loop) slot
}

// A slot is where a field's value goes, with its range.
type slot interface {
	put(text string) error
	take(from slot) // another file's value of the same field
	within() error  // range check of what is there
	allowed(quantity.Units) string
	shown(quantity.Units) string
	bare() bool // written without quotes
}

// settable is a value that reads and prints itself.
type settable[T any] interface {
	*T
	Set(string) error
}

// ranged is a slot for a value with a lowest and a highest.
type ranged[T ~float64 | ~int64, P settable[T]] struct {
	at        P
	low, high T
	unquoted  bool
}

func (r ranged[T, P]) put(text string) error {
	if err := r.at.Set(text); err != nil {
		return err
	}
	return r.within()
}

func (r ranged[T, P]) take(from slot) { *r.at = *from.(ranged[T, P]).at }

func (r ranged[T, P]) within() error {
	if *r.at < r.low || *r.at > r.high {
		return fmt.Errorf("out of range")
	}
	return nil
}

func (r ranged[T, P]) allowed(u quantity.Units) string {
	return said(r.low, u) + " to " + said(r.high, u)
}

func (r ranged[T, P]) shown(u quantity.Units) string { return said(*r.at, u) }

func (r ranged[T, P]) bare() bool { return r.unquoted }

// free is a slot for a value without a range.
type free[T any, P settable[T]] struct {
	at       P
	says     string
	unquoted bool
}

func (f free[T, P]) put(text string) error         { return f.at.Set(text) }
func (f free[T, P]) take(from slot)                { *f.at = *from.(free[T, P]).at }
func (f free[T, P]) within() error                 { return nil }
func (f free[T, P]) allowed(quantity.Units) string { return f.says }
func (f free[T, P]) shown(u quantity.Units) string { return said(*f.at, u) }
func (f free[T, P]) bare() bool                    { return f.unquoted }

// said is a value in the grower's units, where it knows more than one.
func said(v any, u quantity.Units) string {
	if both, ok := v.(interface{ In(quantity.Units) string }); ok {
		return both.In(u)
	}
	return fmt.Sprint(v)
}

// between makes the place of a ranged quantity.
func between[T ~float64 | ~int64, P settable[T]](at func(*File, *Loop) P, low, high T) func(*File, *Loop) slot {
	return func(f *File, l *Loop) slot { return ranged[T, P]{at: at(f, l), low: low, high: high} }
}

// number makes the place of a ranged bare number.
func number[T ~float64 | ~int64, P settable[T]](at func(*File, *Loop) P, low, high T) func(*File, *Loop) slot {
	return func(f *File, l *Loop) slot { return ranged[T, P]{at: at(f, l), low: low, high: high, unquoted: true} }
}

// words makes the place of a text or of one of a few words.
func words[T any, P settable[T]](says string, at func(*File, *Loop) P) func(*File, *Loop) slot {
	return func(f *File, l *Loop) slot { return free[T, P]{at: at(f, l), says: says} }
}

// flag makes the place of true or false.
func flag(at func(*File, *Loop) *Flag) func(*File, *Loop) slot {
	return func(f *File, l *Loop) slot {
		return free[Flag, *Flag]{at: at(f, l), says: "true or false", unquoted: true}
	}
}

// find looks a key up in a table.
func find(table []field, key string) (field, bool) {
	i := slices.IndexFunc(table, func(f field) bool { return f.key == key })
	if i < 0 {
		return field{}, false
	}
	return table[i], true
}

// section is the part of the key before the point.
func (f field) section() string {
	s, _, _ := strings.Cut(f.key, ".")
	return s
}

// name is the part of the key after the point.
func (f field) name() string {
	_, n, _ := strings.Cut(f.key, ".")
	return n
}
