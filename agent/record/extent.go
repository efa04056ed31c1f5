package record

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"time"
)

// Extent is what a time range of the record has.
type Extent struct {
	First, Last time.Time     // readings
	Loop        string        // of the newest
	Simulated   bool          // the newest is
	Period      time.Duration // usual time from one reading to the next; 0 of fewer than two
}

// sampled is how many of the newest readings tell the period.
const sampled = 301

// Extent looks at the readings from the first time up to but not including the
// second; false where there are none.
func (r *Reader) Extent(ctx context.Context, from, to time.Time) (Extent, bool, error) {
	var first, last sql.NullInt64
	err := r.db.QueryRowContext(ctx, "SELECT min(at), max(at) FROM reading WHERE at >= ? AND at < ?",
		from.UnixMilli(), to.UnixMilli()).Scan(&first, &last)
	if err != nil {
		return Extent{}, false, fmt.Errorf("reading the record: %w", err)
	}
	if !first.Valid {
		return Extent{}, false, nil
	}
	rows, err := selectReadings(ctx, r.db, "at >= ? AND at < ? ORDER BY seq DESC LIMIT ?", from.UnixMilli(), to.UnixMilli(), sampled)
	if err != nil || len(rows) == 0 {
		return Extent{}, false, err
	}
	return Extent{
		First: time.UnixMilli(first.Int64).UTC(), Last: time.UnixMilli(last.Int64).UTC(),
		Loop: rows[0].Loop, Simulated: rows[0].Simulated, Period: period(rows),
	}, true, nil
}

// period is the median time between readings, newest first.
func period(rows []Reading) time.Duration {
	var all []time.Duration
	for i := 1; i < len(rows); i++ {
		if d := rows[i-1].At.Sub(rows[i].At); d > 0 {
			all = append(all, d)
		}
	}
	if len(all) == 0 {
		return 0
	}
	slices.Sort(all)
	return all[len(all)/2]
}

// Changes are the settings changed while running, all there ever were.
func (r *Reader) Changes(ctx context.Context) ([]Event, error) {
	return selectEvents(ctx, r.db, "kind = ? ORDER BY seq", string(KindSetting))
}

// Told are a loop's events of some kinds from the first time up to but not including the
// second, in the order in which they were recorded.
func (r *Reader) Told(ctx context.Context, loop string, from, to time.Time, kinds ...Kind) (all []Event, err error) {
	events, err := selectEvents(ctx, r.db, "loop = ? AND at >= ? AND at < ? ORDER BY seq", loop, from.UnixMilli(), to.UnixMilli())
	for _, e := range events {
		if slices.Contains(kinds, e.Kind) {
			all = append(all, e)
		}
	}
	return all, err
}

// Before is a loop's last event of a kind before a time; false where there is none.
func (r *Reader) Before(ctx context.Context, loop string, kind Kind, at time.Time) (e Event, ok bool, err error) {
	all, err := selectEvents(ctx, r.db, "loop = ? AND kind = ? AND at < ? ORDER BY at DESC, seq DESC LIMIT 1", loop, string(kind), at.UnixMilli())
	if len(all) > 0 {
		e, ok = all[0], true
	}
	return e, ok, err
}
