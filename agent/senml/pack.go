package senml

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
)

// ErrPack is wrapped by every refusal of a pack.
var ErrPack = errors.New("SenML pack refused")

// version is the SenML version of RFC 8428, in force where none is given (§4.1).
const version = 10

// Marshal checks the pack and writes it as JSON on one line. It refuses what
// Check refuses.
func (p Pack) Marshal() ([]byte, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	return json.Marshal([]Record(p))
}

// Parse reads a pack and checks it. Fields that are not known are passed over,
// but one whose label ends in "_" must be understood and is refused (§4.4).
func Parse(data []byte) (Pack, error) {
	var fields []map[string]json.RawMessage
	if err := json.Unmarshal(data, &fields); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrPack, err)
	}
	for i, record := range fields {
		for label := range record {
			if strings.HasSuffix(label, "_") {
				return nil, fmt.Errorf("%w: record %d: field %q must be understood and is not known", ErrPack, i+1, label)
			}
		}
	}
	var p Pack
	if err := json.Unmarshal(data, &p); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrPack, err)
	}
	return p, p.Check()
}

// Check applies the rules a pack must keep: names (§4.5.1), values (§4.2,
// §4.5.4), one version throughout (§4.4), numbers that are numbers.
func (p Pack) Check() error {
	if len(p) == 0 {
		return fmt.Errorf("%w: no record", ErrPack)
	}
	var b bases
	for i := range p {
		if err := b.take(&p[i], i == 0); err != nil {
			return fmt.Errorf("%w: record %d: %w", ErrPack, i+1, err)
		}
		if err := b.check(&p[i]); err != nil {
			return fmt.Errorf("%w: record %d: %w", ErrPack, i+1, err)
		}
	}
	return nil
}

// bases are the base fields in force.
type bases struct {
	name       string
	time       float64
	unit       Unit
	value, sum *float64
	version    int
}

func (b *bases) take(r *Record, first bool) error {
	if first {
		b.version = version
	}
	set(&b.name, r.BaseName)
	set(&b.time, r.BaseTime)
	set(&b.unit, r.BaseUnit)
	if r.BaseValue != nil {
		b.value = r.BaseValue
	}
	if r.BaseSum != nil {
		b.sum = r.BaseSum
	}
	if r.BaseVersion == nil {
		return nil
	}
	if v := *r.BaseVersion; v < 1 || v > version {
		return fmt.Errorf("version %d; known are 1 to %d", v, version)
	}
	if !first && *r.BaseVersion != b.version {
		return fmt.Errorf("version %d after %d", *r.BaseVersion, b.version)
	}
	b.version = *r.BaseVersion
	return nil
}

func set[T any](to *T, from *T) {
	if from != nil {
		*to = *from
	}
}

func (b *bases) check(r *Record) error {
	for _, x := range [...]*float64{r.BaseTime, r.BaseValue, r.BaseSum, r.Value, r.Sum, &r.Time, r.Update} {
		if x != nil && (math.IsNaN(*x) || math.IsInf(*x, 0)) {
			return fmt.Errorf("%q: %v is not a number that JSON has", b.name+r.Name, *x)
		}
	}
	if r.onlyBase() && b.value == nil && b.sum == nil {
		return nil
	}
	if err := checkName(b.name + r.Name); err != nil {
		return err
	}
	switch n := r.values(); {
	case n > 1:
		return fmt.Errorf("%q: %d values; one is allowed", b.name+r.Name, n)
	case n == 0 && r.Sum == nil && b.value == nil && b.sum == nil:
		return fmt.Errorf("%q: no value and no sum", b.name+r.Name)
	}
	return nil
}

// checkName applies §4.5.1 to a name with its base name.
func checkName(name string) error {
	if name == "" {
		return errors.New("no name and no base name")
	}
	for i, c := range []byte(name) {
		alphanumeric := c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c >= '0' && c <= '9'
		if !alphanumeric && (i == 0 || !strings.ContainsRune("-:./_", rune(c))) {
			return fmt.Errorf("name %q: letter %d is not allowed there", name, i+1)
		}
	}
	return nil
}
