package config

import "duskloop/sensors/quantity"

// Same says whether two texts give a setting one value, in whichever units each is written:
// the digits that are shown are compared, in both families of units. A text that the setting cannot
// take is the same as its equal only.
func (f *File) Same(key, a, b string) bool {
	if a == b {
		return true
	}
	one, ok := f.digits(key, a)
	other, good := f.digits(key, b)
	return ok && good && one == other
}

// Stands says whether a text is a setting's present value.
func (f *File) Stands(key, text string) bool {
	x, err := fieldOf(f.Loop().Name, key)
	if err != nil {
		return false
	}
	s := x.at(f, f.Loop())
	return f.Same(key, text, s.shown(quantity.SI)) || f.Same(key, text, s.shown(quantity.US))
}

// digits are a text's value as it is shown in either family of units.
func (f *File) digits(key, text string) (shown [2]string, ok bool) {
	next := f.clone()
	x, err := fieldOf(f.Loop().Name, key)
	if err != nil {
		return shown, false
	}
	s := x.at(next, next.Loop())
	if err := s.put(text); err != nil {
		return shown, false
	}
	return [2]string{s.shown(quantity.SI), s.shown(quantity.US)}, true
}
