package weather

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"duskloop/sensors/quantity"
)

// ErrNoDays is wrapped where a text is not of the layout of daily extremes at all.
var ErrNoDays = errors.New("no daily minima and maxima")

// ReadDays reads daily minima and maxima for Generator.Daily: a line of column names
// with date, min_c and max_c (others may stand beside them), then one line a day,
// 2026-02-01,-4.1,8.0, without a day left out, since the generator knows no gaps.
// Lines that begin with # are passed over. first is noon UTC of the first date, which
// is that date in solar time everywhere. The error names the line.
func ReadDays(r io.Reader) (first time.Time, days []Extremes, err error) {
	lines, err := readLines(r)
	if err != nil {
		return first, nil, err
	}
	var at []int
	for n, line := range lines {
		if line = strings.TrimSpace(line); line == "" || line[0] == '#' {
			continue
		}
		cells, err := fields(line)
		if err != nil {
			return first, nil, fmt.Errorf("%w: line %d: %w", ErrFile, n+1, err)
		}
		if at == nil {
			if at, err = find(cells, "date", "min_c", "max_c"); err != nil {
				return first, nil, fmt.Errorf("%w: line %d: %w", ErrNoDays, n+1, err)
			}
			continue
		}
		date, x, err := oneDay(cells, at)
		if err == nil && len(days) > 0 && !date.Equal(first.AddDate(0, 0, len(days))) {
			err = fmt.Errorf("%s does not follow the day before", date.Format(time.DateOnly))
		}
		if err != nil {
			return first, nil, fmt.Errorf("%w: line %d: %w", ErrFile, n+1, err)
		}
		if len(days) == 0 {
			first = date
		}
		days = append(days, x)
	}
	if len(days) == 0 {
		return first, nil, fmt.Errorf("%w: no line of it", ErrNoDays)
	}
	return first, days, nil
}

// oneDay reads one line.
func oneDay(cells []string, at []int) (time.Time, Extremes, error) {
	date, err := time.Parse(time.DateOnly, pick(cells, at[0]))
	if err != nil {
		return date, Extremes{}, fmt.Errorf("date %q is not as 2026-02-01", pick(cells, at[0]))
	}
	low, err := number(pick(cells, at[1]))
	if err != nil {
		return date, Extremes{}, err
	}
	high, err := number(pick(cells, at[2]))
	if err != nil {
		return date, Extremes{}, err
	}
	if !(low >= -90 && low <= high && high <= 60) {
		return date, Extremes{}, fmt.Errorf("minimum %g and maximum %g: must be -90 °C <= minimum <= maximum <= 60 °C", low, high)
	}
	return date.Add(12 * time.Hour), Extremes{Low: quantity.Celsius(low), High: quantity.Celsius(high)}, nil
}
