package weather

import (
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"duskloop/sensors/quantity"
)

// fields splits a line of CSV.
func fields(line string) ([]string, error) {
	if !strings.Contains(line, `"`) {
		return strings.Split(line, ","), nil
	}
	r := csv.NewReader(strings.NewReader(line))
	r.FieldsPerRecord, r.LazyQuotes = -1, true
	return r.Read()
}

// column is the index of a name, -1 where there is none.
func column(have []string, name string) int {
	for i, h := range have {
		if strings.EqualFold(strings.TrimSpace(h), name) {
			return i
		}
	}
	return -1
}

// find gives the columns of names, all of which must be there.
func find(have []string, names ...string) ([]int, error) {
	columns := make([]int, len(names))
	for i, name := range names {
		if columns[i] = column(have, name); columns[i] < 0 {
			return nil, fmt.Errorf("no column %q", name)
		}
	}
	return columns, nil
}

// pick is a field, or nothing where the row is short.
func pick(row []string, column int) string {
	if column < 0 || column >= len(row) {
		return ""
	}
	return strings.TrimSpace(row[column])
}

func number(text string) (float64, error) {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !quantity.Finite(v) {
		return 0, fmt.Errorf("%q is no number", text)
	}
	return v, nil
}
