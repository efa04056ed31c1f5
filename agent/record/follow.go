package record

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"duskloop/control"
)

// ReadingsAfter is up to n readings with a number above seq, oldest first, the
// open batch included.
func (r *Record) ReadingsAfter(ctx context.Context, seq int64, n int) ([]Reading, error) {
	r.mu.Lock()
	open := r.readings
	r.mu.Unlock()
	var rows []Reading
	if len(open) == 0 || open[0].Seq > seq+1 {
		var err error
		if rows, err = selectReadings(ctx, r.read, "seq > ? ORDER BY seq LIMIT ?", seq, n); err != nil {
			return nil, err
		}
	}
	for _, x := range open {
		if last := lastSeq(rows, seq); x.Seq > last && len(rows) < n {
			rows = append(rows, x)
		}
	}
	return rows, nil
}

func lastSeq(rows []Reading, seq int64) int64 {
	if len(rows) == 0 {
		return seq
	}
	return rows[len(rows)-1].Seq
}

// EventsAfter is up to n events with a number above seq, oldest first, those
// not committed yet included: a disk that hangs must not keep an alert back.
func (r *Record) EventsAfter(ctx context.Context, seq int64, n int) ([]Event, error) {
	r.mu.Lock()
	open := r.events
	r.mu.Unlock()
	events, err := selectEvents(ctx, r.read, "seq > ? ORDER BY seq LIMIT ?", seq, n)
	if err != nil {
		return nil, err
	}
	for _, e := range open {
		if last := seqOf(events, seq); e.Seq > last && len(events) < n {
			events = append(events, e)
		}
	}
	return events, nil
}

// Flush waits until every event appended so far is committed, and what was kept
// before them. It returns ctx's error if that takes longer.
func (r *Record) Flush(ctx context.Context) error {
	changed, stop := r.Watch()
	defer stop()
	_, last := r.Ends()
	for {
		r.mu.Lock()
		done := len(r.events) == 0 || r.events[0].Seq > last
		r.mu.Unlock()
		if done {
			return nil
		}
		select {
		case <-changed:
		case <-ctx.Done():
			return fmt.Errorf("not on the disk yet: %w", ctx.Err())
		}
	}
}

func seqOf(events []Event, seq int64) int64 {
	if len(events) == 0 {
		return seq
	}
	return events[len(events)-1].Seq
}

// Ends are the numbers of the newest reading and the newest event.
func (r *Record) Ends() (reading, event int64) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.nextReading - 1, r.nextEvent - 1
}

// Committed is the number of the newest reading that is on the disk.
func (r *Record) Committed() int64 {
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(r.readings) > 0 {
		return r.readings[0].Seq - 1
	}
	return r.nextReading - 1
}

// Watch returns a channel that gets a value after rows were appended, and a
// function to end that. A slow reader misses none: one value stands for all.
func (r *Record) Watch() (<-chan struct{}, func()) {
	c := make(chan struct{}, 1)
	r.mu.Lock()
	r.watchers[c] = struct{}{}
	r.mu.Unlock()
	return c, func() {
		r.mu.Lock()
		delete(r.watchers, c)
		r.mu.Unlock()
	}
}

// tell wakes the watchers; the caller holds mu.
func (r *Record) tell() {
	for c := range r.watchers {
		select {
		case c <- struct{}{}:
		default:
		}
	}
}

func selectReadings(ctx context.Context, db *sql.DB, where string, args ...any) ([]Reading, error) {
	columns, err := columnsOf(ctx, db)
	if err != nil {
		return nil, fmt.Errorf("reading the record: %w", err)
	}
	rows, err := db.QueryContext(ctx, "SELECT seq, "+columns+" FROM reading WHERE "+where, args...)
	if err != nil {
		return nil, fmt.Errorf("reading the record: %w", err)
	}
	defer rows.Close()
	var out []Reading
	for rows.Next() {
		x, err := scanReading(rows)
		if err != nil {
			return nil, fmt.Errorf("reading the record: %w", err)
		}
		out = append(out, x)
	}
	return out, rows.Err()
}

// columnsOf are the columns of a reading; in a file of version 1, which somebody may
// export before the daemon has opened it, nothing stands for the one that it lacks.
func columnsOf(ctx context.Context, db *sql.DB) (string, error) {
	has, err := hasHeating(ctx, db)
	columns := strings.Join(readingColumns(), ", ")
	if !has {
		columns = strings.Replace(columns, heating, "NULL", 1)
	}
	return columns, err
}

func hasHeating(ctx context.Context, db *sql.DB) (bool, error) {
	var has bool
	err := db.QueryRowContext(ctx, "SELECT count(*) > 0 FROM pragma_table_info('reading') WHERE name = ?", heating).Scan(&has)
	return has, err
}

func scanReading(rows *sql.Rows) (Reading, error) {
	var (
		x            Reading
		at           int64
		c            [control.Places]sql.NullFloat64
		age          [control.Places]sql.NullInt64
		volts, amps  sql.NullFloat64
		charge       sql.NullFloat64
		batteryAge   sql.NullInt64
		mode, reason string
		trouble      sql.NullString
		pump, fans   float64
		watts        sql.NullFloat64
	)
	dest := []any{&x.Seq, &at, &x.Loop, &x.Simulated}
	for p := range control.Places {
		dest = append(dest, &c[p], &age[p])
	}
	dest = append(dest, &volts, &amps, &batteryAge, &charge, &x.Band, &mode, &reason, &pump, &fans, &x.Outputs.Closed, &x.Outputs.Buzzer, &trouble, &watts)
	if err := rows.Scan(dest...); err != nil {
		return x, err
	}
	x.At = time.UnixMilli(at).UTC()
	for p := range control.Places {
		x.Places[p] = scan(c[p], age[p])
	}
	x.Volts, x.Amps, x.Charge = scan(volts, batteryAge), scan(amps, batteryAge), scan(charge, sql.NullInt64{})
	x.Heating = scan(watts, sql.NullInt64{})
	x.Outputs.Pump, x.Outputs.Fans = share(pump), share(fans)
	if trouble.Valid {
		if err := json.Unmarshal([]byte(trouble.String), &x.Trouble); err != nil {
			return x, err
		}
	}
	if err := x.Mode.UnmarshalText([]byte(mode)); err != nil {
		return x, err
	}
	return x, x.Reason.UnmarshalText([]byte(reason))
}

func selectEvents(ctx context.Context, db *sql.DB, where string, args ...any) ([]Event, error) {
	rows, err := db.QueryContext(ctx, "SELECT seq, at, loop, simulated, kind, code, body FROM event WHERE "+where, args...)
	if err != nil {
		return nil, fmt.Errorf("reading the record: %w", err)
	}
	defer rows.Close()
	var out []Event
	for rows.Next() {
		var (
			e    Event
			at   int64
			body string
		)
		if err := rows.Scan(&e.Seq, &at, &e.Loop, &e.Simulated, &e.Kind, &e.Code, &body); err != nil {
			return nil, fmt.Errorf("reading the record: %w", err)
		}
		e.At, e.Body = time.UnixMilli(at).UTC(), json.RawMessage(body)
		out = append(out, e)
	}
	return out, rows.Err()
}
