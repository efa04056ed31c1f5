package sizing

import (
	"fmt"
	"strings"

	"duskloop/sensors/quantity"
	"duskloop/sim/season"
)

// Varied is one key of the file from one value to another.
type Varied struct {
	Key   string      `json:"key"`
	Unit  string      `json:"unit"`
	Rows  []VariedRow `json:"rows"`
	Now   string      `json:"now"` // as the file has it
	NowAt *float64    `json:"-"`   // in Unit, where it is within the values
}

// VariedRow is a winter with one value.
type VariedRow struct {
	Value float64 `json:"value"` // in Unit
	Text  string  `json:"text"`
	season.Outcome
}

// most of the values that a question has.
const mostValues = 100

// Question reads one, as tank.volume=10L..80L, with so many values from the first to the
// last, evenly. The unit is that of the first; the last may leave it out.
func (s *Sketch) Question(text string, values int) (Varied, error) {
	key, span, ok := strings.Cut(text, "=")
	from, to, ok2 := strings.Cut(span, "..")
	if !ok || !ok2 || key == "" {
		return Varied{}, fmt.Errorf("write a key and two values, as tank.volume=10L..80L, not %q", text)
	}
	if values < 2 || values > mostValues {
		return Varied{}, fmt.Errorf("2 to %d values, not %d", mostValues, values)
	}
	low, unit, err := figure(from)
	if err != nil {
		return Varied{}, err
	}
	high, other, err := figure(to)
	if err != nil {
		return Varied{}, err
	}
	if other != "" && other != unit {
		return Varied{}, fmt.Errorf("two values in one unit: %s is not in %s", to, unit)
	}
	v := Varied{Key: strings.TrimSpace(key), Unit: unit}
	for i := range values {
		x := low + (high-low)*float64(i)/float64(values-1)
		v.Rows = append(v.Rows, VariedRow{Value: x, Text: strings.TrimSpace(fmt.Sprintf("%.4g %s", x, unit))})
	}
	return v, s.now(&v)
}

// now finds the file's own value, and refuses a key that it does not have.
func (s *Sketch) now(v *Varied) error {
	_, changes, err := s.File.Sketched(map[string]string{v.Key: v.Rows[0].Text})
	if err != nil {
		return err
	}
	v.Now = changes[0].From
	if x, unit, err := figure(v.Now); err == nil && unit == v.Unit {
		v.NowAt = &x
	}
	return nil
}

// figure is a number and its unit; none for a bare number.
func figure(text string) (float64, string, error) {
	text = strings.TrimSpace(text)
	end := len(text)
	for i, r := range text {
		if !strings.ContainsRune("+-.0123456789", r) {
			end = i
			break
		}
	}
	var x float64
	if _, err := fmt.Sscan(text[:end], &x); err != nil || !quantity.Finite(x) {
		return 0, "", fmt.Errorf("%q begins with no number", text)
	}
	return x, strings.TrimSpace(text[end:]), nil
}

// Answer flies the winter with a row's value. It may be called from several goroutines.
func (s *Sketch) Answer(v *Varied, row int) error {
	x, err := s.Try(Set(map[string]string{v.Key: v.Rows[row].Text}))
	if err != nil {
		return fmt.Errorf("%s = %s: %w", v.Key, v.Rows[row].Text, err)
	}
	v.Rows[row].Outcome = x.Outcome
	return nil
}

// Section is the answer in words and figures.
func (v *Varied) Section(u quantity.Units) Section {
	t := tongue{u}
	s := Section{ID: "vary", Title: v.Key, Head: []string{v.Key, "nights held", "coldest tunnel air", "cold left", "tank too hot", "battery"}}
	for i := range v.Rows {
		x := &v.Rows[i]
		s.Rows = append(s.Rows, []string{x.Text, fmt.Sprintf("%d of %d", x.Held, x.Nights), t.temp(x.Coldest), t.squared(x.Squared), hours(x.TooHot), fmt.Sprintf("%.1f kWh", x.Battery)})
	}
	if v.Now != "" {
		s.Says = append(s.Says, "The file has "+v.Now+". Nothing else is changed.")
	}
	s.After = []string{meaning}
	return s
}
