package config

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"duskloop/sensors/quantity"
)

// Change is one setting changed while the daemon runs.
type Change struct {
	Key      string // full, as loop.bench.carry.start_difference
	From, To string
	Wrote    string // as it was asked for
}

// Live lists the full keys of the settings that may be changed while running,
// with their present values in units u.
func (f *File) Live(u quantity.Units) []Change {
	var live []Change
	l := f.Loop()
	for _, x := range perLoop() {
		if x.live {
			now := x.at(f, l).shown(u)
			live = append(live, Change{Key: "loop." + l.Name + "." + x.key, From: now, To: now})
		}
	}
	return live
}

// With is f with settings changed by the file's own rules: same parsing, same
// ranges, same relations. Short keys (carry.start_difference, or the last part
// alone where it is unique) are allowed. f itself is never changed; the error is
// Faults, all of them. Values are told in the site's units.
func (f *File) With(wanted map[string]string) (*File, []Change, error) {
	return f.change(wanted, func(x field) bool { return x.live }, nil)
}

// Back is f with settings put back, otherwise as With: one that is wanted as "" is taken to
// the last digit from another file, which no words of its value have.
func (f *File) Back(wanted map[string]string, as *File) (*File, []Change, error) {
	return f.change(wanted, func(x field) bool { return x.live }, as)
}

// Sketched is f with any keys of its loop changed, for a greenhouse that does not run:
// otherwise as With. Full keys or section and name are needed (tank.volume).
func (f *File) Sketched(wanted map[string]string) (*File, []Change, error) {
	return f.change(wanted, func(field) bool { return true }, nil)
}

func (f *File) change(wanted map[string]string, may func(field) bool, as *File) (*File, []Change, error) {
	next, u := f.clone(), f.Site.Units
	l := next.Loop()
	var (
		changes []Change
		faults  Faults
	)
	for _, key := range sortedKeys(wanted) {
		x, err := fieldOf(l.Name, key)
		if err == nil && !may(x) {
			err = errors.New("can be changed in the greenhouse file only")
		}
		if err != nil {
			faults = append(faults, Fault{Key: key, Value: wanted[key], Problem: err.Error()})
			continue
		}
		s := x.at(next, l)
		from := s.shown(u)
		if as != nil && wanted[key] == "" {
			s.take(x.at(as, as.Loop()))
		} else if err := s.put(wanted[key]); err != nil {
			faults = append(faults, Fault{Key: x.key, Value: wanted[key], Problem: err.Error(), Allowed: s.allowed(u)})
			continue
		}
		changes = append(changes, Change{Key: "loop." + l.Name + "." + x.key, From: from, To: s.shown(u), Wrote: wanted[key]})
	}
	if len(faults) == 0 {
		faults = loopRelations(next, l)
	}
	if err := faults.orNil(); err != nil {
		return nil, nil, err
	}
	return next, changes, nil
}

// fieldOf finds a key by full, section or, where it may be changed while running, unique
// last name.
func fieldOf(loop, key string) (field, error) {
	key = strings.TrimPrefix(key, "loop."+loop+".")
	var found []field
	for _, x := range perLoop() {
		if x.key == key {
			found = []field{x}
			break
		}
		if x.live && x.name() == key {
			found = append(found, x)
		}
	}
	switch {
	case len(found) == 0:
		return field{}, fmt.Errorf("no such setting%s", nearest(perLoop(), key))
	case len(found) > 1:
		return field{}, fmt.Errorf("more than one setting has this name; write the section before it")
	}
	return found[0], nil
}

// clone copies the file; loops are copied too.
func (f *File) clone() *File {
	next := *f
	next.Loops = make([]*Loop, len(f.Loops))
	for i, l := range f.Loops {
		c := *l
		next.Loops[i] = &c
	}
	return &next
}

func sortedKeys(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// LiveSetting is a setting that may be changed while running, as it is told to a person.
type LiveSetting struct{ Name, About, Value, Allowed string }

// LiveSettings are all of them, with values and ranges in units u.
func (f *File) LiveSettings(u quantity.Units) []LiveSetting {
	var all []LiveSetting
	for _, x := range perLoop() {
		if x.live {
			s := x.at(f, f.Loop())
			all = append(all, LiveSetting{Name: x.key, About: x.about, Value: s.shown(u), Allowed: s.allowed(u)})
		}
	}
	return all
}
