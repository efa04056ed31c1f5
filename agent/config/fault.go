package config

import (
	"fmt"
	"slices"
	"strings"
)

// Fault is one thing wrong with a greenhouse file or a change to it.
type Fault struct {
	Line    int    // 0: no line, such as a missing key or a change by message
	Key     string // full key, as loop.bench.tank.volume
	Value   string // as written
	Problem string
	Allowed string // what would be right; may be empty
}

// Error is the fault in one line.
func (f Fault) Error() string {
	var b strings.Builder
	if f.Line > 0 {
		fmt.Fprintf(&b, "line %d: ", f.Line)
	}
	b.WriteString(f.Key)
	if f.Value != "" {
		fmt.Fprintf(&b, " = %s", f.Value)
	}
	fmt.Fprintf(&b, ": %s", f.Problem)
	if f.Allowed != "" {
		fmt.Fprintf(&b, " (allowed: %s)", f.Allowed)
	}
	return b.String()
}

// Faults is everything that is wrong, in the order of the file.
type Faults []Fault

// Error lists the faults, one a line.
func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

// sorted orders by line; faults without one come last.
func (fs Faults) sorted() Faults {
	slices.SortStableFunc(fs, func(a, b Fault) int {
		if (a.Line == 0) != (b.Line == 0) {
			return b.Line - a.Line
		}
		return a.Line - b.Line
	})
	return fs
}

// orNil is the faults as an error, nil when there are none.
func (fs Faults) orNil() error {
	if len(fs) == 0 {
		return nil
	}
	return fs.sorted()
}
