package record

import (
	"context"
	"fmt"
	"strings"

	"duskloop/control"
)

// tidy sums readings up by the hour and deletes the oldest beyond the rows that
// are kept. Both go by the rows' numbers, not by their times: a clock that jumps
// years ahead and back must neither delete the past nor leave hours out.
func (r *Record) tidy(ctx context.Context) error {
	newest, _ := r.Ends()
	if err := r.sum(ctx, newest); err != nil {
		return fmt.Errorf("summing the record up by the hour: %w", err)
	}
	if _, err := r.write.ExecContext(ctx, "DELETE FROM reading WHERE seq <= ?", newest-r.opts.Rows); err != nil {
		return fmt.Errorf("deleting old readings: %w", err)
	}
	return nil
}

// summedName is where the number of the newest summed reading is kept.
const summedName = "hours/summed"

// sum sums up every hour that has rows newer than those summed last time; the
// hour that is not over yet is summed again the next time.
func (r *Record) sum(ctx context.Context, newest int64) error {
	var summed int64
	err := r.read.QueryRowContext(ctx, "SELECT coalesce((SELECT CAST(value AS INTEGER) FROM kept WHERE name = ?), 0)", summedName).Scan(&summed)
	if err != nil {
		return err
	}
	if _, err := r.write.ExecContext(ctx, sumSQL(), summed); err != nil {
		return err
	}
	r.Keep(summedName, fmt.Sprint(newest))
	return nil
}

// sumSQL counts seconds of pump and fans by the share of rows in which they
// ran, times the hour: rows are evenly spaced while the daemon runs.
func sumSQL() string {
	var b strings.Builder
	b.WriteString("INSERT OR REPLACE INTO hour SELECT at/3600000*3600000 AS h, loop, max(simulated), count(*), avg(pump>0)*3600.0, avg(fans>0)*3600.0, avg(charge)")
	for p := range control.Places {
		fmt.Fprintf(&b, ", min(%[1]s_c), avg(%[1]s_c), max(%[1]s_c)", p)
	}
	b.WriteString(" FROM reading WHERE at/3600000 IN (SELECT DISTINCT at/3600000 FROM reading WHERE seq > ?) GROUP BY h, loop")
	return b.String()
}
