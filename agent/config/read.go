package config

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"duskloop/agent/fitted"
)

// Load reads and checks a greenhouse file. The error is Faults where the
// content is wrong; otherwise it says why the file could not be read.
func Load(path string) (*File, error) {
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("there is no greenhouse file %s: duskloop check --example prints one to begin with (%w)", path, err)
	}
	if err != nil {
		return nil, fmt.Errorf("the greenhouse file %s cannot be read (%w)", path, err)
	}
	f, err := Parse(data)
	if err != nil {
		return nil, fmt.Errorf("greenhouse file %s:\n%w", path, err)
	}
	f.Path = path
	if err := f.fit(); err != nil {
		return nil, fmt.Errorf("greenhouse file %s:\n%w", path, err)
	}
	return f, nil
}

// fit reads the fitted greenhouse that a file names, from beside it.
func (f *File) fit() error {
	l := f.Loop()
	name := string(l.Model.Fitted)
	if name == "" {
		return nil
	}
	key := "loop." + l.Name + ".model.fitted"
	wrong := func(problem string) error {
		return Faults{{Line: f.written[key], Key: key, Value: name, Problem: problem, Allowed: "a file that duskloop fit wrote"}}
	}
	path := name
	if !filepath.IsAbs(path) {
		path = filepath.Join(filepath.Dir(f.Path), path)
	}
	g, err := fitted.Load(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return wrong(fmt.Sprintf("there is no such file (%v)", err))
	case err != nil:
		return wrong(fmt.Sprintf("duskloop fit did not write this file, or it was changed since (%v)", err))
	case g.Loop != l.Name:
		return wrong("it was fitted to the loop " + g.Loop)
	}
	f.Fitted = g
	return nil
}

// Parse checks a greenhouse file's content. All faults come at once.
func Parse(data []byte) (*File, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	entries, faults := scan(data)
	r := reader{file: &File{}, lines: make(map[string]int), faults: faults}
	r.defaults(common(), nil)
	for _, e := range entries {
		r.take(e)
	}
	r.finish()
	if err := r.faults.orNil(); err != nil {
		return nil, err
	}
	r.file.written = r.lines
	return r.file, nil
}

// reader fills a File from entries and gathers faults.
type reader struct {
	file   *File
	lines  map[string]int // of every key that was set
	bad    map[string]bool
	faults Faults
}

// defaults puts the initial value of every field of a table in place.
func (r *reader) defaults(table []field, l *Loop) {
	for _, f := range table {
		if f.initial == "" {
			continue
		}
		if err := f.at(r.file, l).put(f.initial); err != nil {
			panic(fmt.Sprintf("default of %s: %v", f.key, err)) // a programmer's error; every default is read in tests
		}
	}
}

// take files one entry under its field.
func (r *reader) take(e entry) {
	f, l, ok := r.field(e)
	if !ok {
		return
	}
	key := e.key()
	if first, again := r.lines[key]; again {
		r.add(e, fmt.Sprintf("set again; first on line %d", first), "each key once")
		return
	}
	r.lines[key] = e.line
	s := f.at(r.file, l)
	if problem := mismatch(e, s); problem != "" {
		r.spoil(e, problem, s)
		return
	}
	if err := s.put(e.text); err != nil {
		r.spoil(e, err.Error(), s)
	}
}

// mismatch says what is wrong with the way a value is written.
func mismatch(e entry, s slot) string {
	switch {
	case e.odd != "":
		return e.odd
	case s.bare() && e.quoted:
		return "written in quotes"
	case !s.bare() && !e.quoted:
		return "has no unit or no quotes; write it in quotes, with its unit"
	}
	return ""
}

func (r *reader) spoil(e entry, problem string, s slot) {
	r.add(e, problem, s.allowed(r.file.Site.Units))
	r.markBad(e.key())
}

// markBad keeps relations from saying again what is wrong with a key.
func (r *reader) markBad(key string) {
	if r.bad == nil {
		r.bad = make(map[string]bool)
	}
	r.bad[key] = true
}

func (r *reader) add(e entry, problem, allowed string) {
	r.faults = append(r.faults, Fault{Line: e.line, Key: e.key(), Value: e.shown(), Problem: problem, Allowed: allowed})
}

// loopName is what a loop may be called: it stands in topics and tables.
var loopName = regexp.MustCompile(`^[a-z][a-z0-9-]{0,31}$`)

// field finds the field and, for one of a loop's, the loop.
func (r *reader) field(e entry) (field, *Loop, bool) {
	table, key, l := common(), e.key(), (*Loop)(nil)
	if e.path[0] == "loop" {
		if len(e.path) < 3 {
			r.add(e, "a loop needs a name", "[loop.NAME.tank] and so on")
			return field{}, nil, false
		}
		table, key, l = perLoop(), strings.Join(e.path[2:], "."), r.loop(e)
	}
	if f, ok := find(table, key); ok {
		return f, l, true
	}
	r.add(e, "unknown key"+nearest(table, key), "")
	return field{}, nil, false
}

// loop finds the loop of an entry, made with its defaults when first named.
func (r *reader) loop(e entry) *Loop {
	name := e.path[1]
	i := slices.IndexFunc(r.file.Loops, func(l *Loop) bool { return l.Name == name })
	if i >= 0 {
		return r.file.Loops[i]
	}
	if !loopName.MatchString(name) {
		r.add(e, "a loop cannot be called "+name, "small letters, digits and hyphens, at most 32")
	}
	l := &Loop{Name: name}
	r.file.Loops = append(r.file.Loops, l)
	r.defaults(perLoop(), l)
	return l
}

// finish looks for what is missing and for values that contradict each other.
func (r *reader) finish() {
	switch len(r.file.Loops) {
	case 0:
		r.faults = append(r.faults, Fault{Key: "loop", Problem: "no loop is described", Allowed: "[loop.NAME.tank] and so on"})
	case 1:
	default:
		names := make([]string, len(r.file.Loops))
		for i, l := range r.file.Loops {
			names[i] = l.Name
		}
		r.faults = append(r.faults, Fault{Key: "loop", Value: strings.Join(names, ", "),
			Problem: "this version runs one loop", Allowed: "one"})
	}
	for _, l := range r.file.Loops {
		prefix := "loop." + l.Name + "."
		for _, f := range perLoop() {
			if _, set := r.lines[prefix+f.key]; f.required && !set {
				r.markBad(prefix + f.key)
				r.faults = append(r.faults, Fault{Key: prefix + f.key, Problem: "missing", Allowed: f.at(r.file, l).allowed(r.file.Site.Units)})
			}
		}
		l.Crop.stand(func(key string) bool { return r.lines[prefix+key] > 0 })
		l.Pump.Stated, l.Fans.Stated = l.Pump.Duty, l.Fans.Duty
		r.relate(prefix, loopRelations(r.file, l))
	}
	r.relate("", fileRelations(r.file))
}

// relate adds the faults of relations whose keys are sound by themselves.
func (r *reader) relate(prefix string, faults Faults) {
	for _, f := range faults {
		f.Key = prefix + f.Key
		if r.bad[f.Key] {
			continue
		}
		f.Line = r.lines[f.Key]
		r.faults = append(r.faults, f)
	}
}

// nearest suggests a known key that is spelt much like the unknown one.
func nearest(table []field, key string) string {
	best, at := 3, ""
	for _, f := range table {
		if d := distance(f.key, key); d < best {
			best, at = d, f.key
		}
	}
	if at == "" {
		return ""
	}
	return "; perhaps " + at
}

// distance is the number of single-letter edits between two words (Levenshtein
// 1966, by rows).
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost = min(diagonal, row[j], row[j+1]) + 1
			}
			diagonal, row[j+1] = row[j+1], cost
		}
	}
	return row[len(b)]
}
