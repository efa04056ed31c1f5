package record

import (
	"context"
	"fmt"
	"strings"
	"time"

	"duskloop/control"
)

// tidy sums readings up by the hour and deletes those past their keep. Summing
// is done again for the last hours each time, so a late row is counted too.
func (r *Record) tidy(ctx context.Context) error {
	newest, err := r.newest(ctx)
	if err != nil || newest == 0 {
		return err
	}
	from := newest - (6 * time.Hour).Milliseconds()
	if err := r.sum(ctx, from); err != nil {
		return fmt.Errorf("summing the record up by the hour: %w", err)
	}
	old := newest - r.opts.Keep.Milliseconds()
	if _, err := r.write.ExecContext(ctx, "DELETE FROM reading WHERE at < ?", old); err != nil {
		return fmt.Errorf("deleting old readings: %w", err)
	}
	return nil
}

func (r *Record) newest(ctx context.Context) (int64, error) {
	var at int64
	err := r.read.QueryRowContext(ctx, "SELECT coalesce(max(at), 0) FROM reading").Scan(&at)
	return at, err
}

const hourMilli = 3600 * 1000

// sum writes the hours from the one that holds the millisecond from. An hour
// that was never summed because the daemon was away is found by its absence.
func (r *Record) sum(ctx context.Context, from int64) error {
	var last int64
	if err := r.read.QueryRowContext(ctx, "SELECT coalesce(max(at), 0) FROM hour").Scan(&last); err != nil {
		return err
	}
	from = min(from, last) / hourMilli * hourMilli
	_, err := r.write.ExecContext(ctx, sumSQL(), from)
	return err
}

// sumSQL counts seconds of pump and fans by the share of rows in which they
// ran, times the hour: rows are evenly spaced while the daemon runs.
func sumSQL() string {
	var b strings.Builder
	b.WriteString("INSERT OR REPLACE INTO hour SELECT at/3600000*3600000 AS h, loop, max(simulated), count(*), avg(pump>0)*3600.0, avg(fans>0)*3600.0, avg(charge)")
	for p := range control.Places {
		fmt.Fprintf(&b, ", min(%[1]s_c), avg(%[1]s_c), max(%[1]s_c)", p)
	}
	b.WriteString(" FROM reading WHERE at >= ? GROUP BY h, loop")
	return b.String()
}
