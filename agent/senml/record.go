package senml

// Units of the SenML registry (RFC 8428 §12.1) that this program uses.
const (
	Celsius Unit = "Cel" // degrees Celsius
	Volt    Unit = "V"
	Ampere  Unit = "A"
	Watt    Unit = "W"
	Ratio   Unit = "/"   // 1; of a switch 0 is off, 1 on, 0.5 half on
	Charge  Unit = "%EL" // percentage of remaining battery energy level
)

// Unit is a symbol of the SenML units registry. It is case sensitive.
type Unit string

// Record is one SenML record with the labels of RFC 8428, table 1. Base fields
// and values are pointers because absent and zero differ.
type Record struct {
	BaseName    *string  `json:"bn,omitempty"`
	BaseTime    *float64 `json:"bt,omitempty"` // s
	BaseUnit    *Unit    `json:"bu,omitempty"`
	BaseValue   *float64 `json:"bv,omitempty"`
	BaseSum     *float64 `json:"bs,omitempty"`
	BaseVersion *int     `json:"bver,omitempty"`
	Name        string   `json:"n,omitempty"`
	Unit        Unit     `json:"u,omitempty"`
	Value       *float64 `json:"v,omitempty"`
	Text        *string  `json:"vs,omitempty"`
	Flag        *bool    `json:"vb,omitempty"`
	Data        *string  `json:"vd,omitempty"` // base64, URL-safe, no padding (table 1)
	Sum         *float64 `json:"s,omitempty"`  // unit times seconds
	Time        float64  `json:"t,omitempty"`  // s
	Update      *float64 `json:"ut,omitempty"` // s until the next value at the latest
}

// Pack is a SenML pack: one JSON array.
type Pack []Record

// Number is a record of a number in a unit.
func Number(name string, unit Unit, v float64) Record {
	return Record{Name: name, Unit: unit, Value: &v}
}

// Text is a record of a text.
func Text(name, text string) Record { return Record{Name: name, Text: &text} }

// Flag is a record of yes or no.
func Flag(name string, yes bool) Record { return Record{Name: name, Flag: &yes} }

// values counts the value fields given; at most one may be (§4.2).
func (r *Record) values() int {
	n := 0
	for _, given := range [...]bool{r.Value != nil, r.Text != nil, r.Flag != nil, r.Data != nil} {
		if given {
			n++
		}
	}
	return n
}

// onlyBase says that a record carries base fields for those after it and
// measures nothing itself, as the first one in the example of §5.1.7.
func (r *Record) onlyBase() bool {
	return r.values() == 0 && r.Sum == nil && r.Name == "" && r.Unit == "" && r.Time == 0 && r.Update == nil
}
