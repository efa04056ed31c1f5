package record

import (
	"database/sql"
	"math"
	"time"
)

// Known is a value known with an age.
func Known(v float64, age time.Duration) Value { return Value{V: v, OK: true, Age: age} }

// sql is the value for a column, rounded to four decimals: finer than any
// probe, and smaller on the card.
func (v Value) sql() any {
	if !v.OK {
		return nil
	}
	return round(v.V, 4)
}

// age is whole seconds for a column.
func (v Value) age() any {
	if !v.OK {
		return nil
	}
	return int64(v.Age.Round(time.Second) / time.Second)
}

func round(v float64, digits int) float64 {
	p := math.Pow10(digits)
	return math.Round(v*p) / p
}

// scan makes a value of two columns.
func scan(v sql.NullFloat64, age sql.NullInt64) Value {
	return Value{V: v.Float64, OK: v.Valid, Age: time.Duration(age.Int64) * time.Second}
}
