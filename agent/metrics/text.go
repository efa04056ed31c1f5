package metrics

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// The metric types used here (OpenMetrics 1.0.0, "Metric Types").
const (
	gauge    = "gauge"
	counter  = "counter"
	info     = "info"
	stateSet = "stateset"
)

// family is what stands above its samples. A unit is the end of the name too.
type family struct{ name, kind, unit, help string }

// sample is one value with its labels, names and values in turn.
type sample struct {
	labels []string
	value  float64
}

// sheet is an exposition as it grows.
type sheet struct {
	text   strings.Builder
	common []string // labels of every sample, names and values in turn
}

// add writes a family with its samples. One without any is left out, and so is a value
// that is no number.
func (s *sheet) add(f family, samples ...sample) {
	begun := false
	for _, x := range samples {
		if math.IsNaN(x.value) || math.IsInf(x.value, 0) {
			continue
		}
		if !begun {
			s.head(f)
			begun = true
		}
		s.text.WriteString(f.name + map[string]string{counter: "_total", info: "_info"}[f.kind])
		s.label(append(append([]string{}, s.common...), x.labels...))
		s.text.WriteString(" " + strconv.FormatFloat(x.value, 'g', -1, 64) + "\n")
	}
}

func (s *sheet) head(f family) {
	fmt.Fprintf(&s.text, "# TYPE %s %s\n", f.name, f.kind)
	if f.unit != "" {
		fmt.Fprintf(&s.text, "# UNIT %s %s\n", f.name, f.unit)
	}
	fmt.Fprintf(&s.text, "# HELP %s %s\n", f.name, escaped(f.help))
}

func (s *sheet) label(pairs []string) {
	for i := 0; i < len(pairs); i += 2 {
		s.text.WriteString(map[bool]string{true: "{", false: ","}[i == 0])
		s.text.WriteString(pairs[i] + `="` + escaped(pairs[i+1]) + `"`)
	}
	if len(pairs) > 0 {
		s.text.WriteString("}")
	}
}

// escaped is text as it may stand in a label or a help line.
func escaped(text string) string {
	return strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`).Replace(strings.ToValidUTF8(text, "\uFFFD"))
}

// end closes the exposition.
func (s *sheet) end() string { return s.text.String() + "# EOF\n" }

// one is a value without labels of its own.
func one(v float64) sample { return sample{value: v} }

// when is a sample that exists only if it is known.
func when(known bool, v float64, labels ...string) []sample {
	if !known {
		return nil
	}
	return []sample{{labels: labels, value: v}}
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
