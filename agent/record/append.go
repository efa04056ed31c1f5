package record

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"duskloop/control"
)

// Append takes one reading (or none) and events, numbers them, and returns at
// once. Readers see them from now on.
func (r *Record) Append(reading *Reading, events ...Event) {
	r.mu.Lock()
	if reading != nil {
		reading.Seq = r.nextReading
		r.nextReading++
		if len(r.readings) == 0 {
			r.opened = time.Now()
		}
		r.readings = append(r.readings, *reading)
	}
	for _, e := range events {
		e.Seq = r.nextEvent
		r.nextEvent++
		r.events = append(r.events, e)
	}
	r.bound()
	due := len(r.events) > 0 || r.ripe()
	r.tell()
	r.mu.Unlock()
	if due {
		r.nudge()
	}
}

// Keep stores a small value under a name with the next commit.
func (r *Record) Keep(name, value string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.kept[name] = value
}

// Kept reads a value stored by Keep, also one not committed yet.
func (r *Record) Kept(name string) (string, error) {
	r.mu.Lock()
	v, open := r.kept[name]
	r.mu.Unlock()
	if open {
		return v, nil
	}
	err := r.read.QueryRow("SELECT value FROM kept WHERE name = ?", name).Scan(&v)
	if err == sql.ErrNoRows {
		return "", nil
	}
	if err != nil {
		return "", fmt.Errorf("reading %s from record: %w", name, err)
	}
	return v, nil
}

// ripe says whether the open batch is old enough: by the rows' own time, which
// a simulation runs through quickly, or by the computer's. Rows whose time runs
// backwards wait for nothing.
func (r *Record) ripe() bool {
	n := len(r.readings)
	if n == 0 {
		return false
	}
	span := r.readings[n-1].At.Sub(r.readings[0].At)
	return span >= r.opts.Commit || span < 0 || time.Since(r.opened) >= r.opts.Commit
}

// bound drops the oldest readings when the disk has failed for long.
func (r *Record) bound() {
	if over := len(r.readings) - r.opts.Most; over > 0 {
		r.readings = append([]Reading(nil), r.readings[over:]...)
		r.dropped += int64(over)
	}
}

// Err is why the last commit, or the last tidying, failed; nil when neither did.
func (r *Record) Err() error {
	r.mu.Lock()
	defer r.mu.Unlock()
	return errors.Join(r.err, r.tidyErr)
}

// Dropped counts readings lost because the disk failed for too long.
func (r *Record) Dropped() int64 {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.dropped
}

func (r *Record) nudge() {
	select {
	case r.wake <- struct{}{}:
	default:
	}
}

// run commits whenever nudged, and tidies once an hour of real time.
func (r *Record) run() {
	defer close(r.done)
	tidy := time.NewTicker(time.Hour)
	defer tidy.Stop()
	retry := time.NewTicker(10 * time.Second)
	defer retry.Stop()
	for {
		select {
		case <-r.wake:
		case <-retry.C:
			if r.Err() == nil && !r.due() {
				continue
			}
		case <-tidy.C:
			r.noteTidy(r.tidy(context.Background()))
		}
		r.mu.Lock()
		closed := r.closed
		r.mu.Unlock()
		if closed {
			return
		}
		r.note(r.commit(context.Background()))
	}
}

// due says whether something has waited longer than a commit interval, which
// happens when no further row comes to push it.
func (r *Record) due() bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	return len(r.events) > 0 || r.ripe()
}

func (r *Record) note(err error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.err = err
}

func (r *Record) noteTidy(err error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.tidyErr = err
}

// commit writes the open batch, the events and the kept values in one
// transaction. On failure they stay open.
func (r *Record) commit(ctx context.Context) error {
	r.mu.Lock()
	readings, events := r.readings, r.events
	kept := r.kept
	r.kept = make(map[string]string)
	r.mu.Unlock()
	if len(readings) == 0 && len(events) == 0 && len(kept) == 0 {
		return nil
	}
	err := r.transact(ctx, readings, events, kept)
	r.mu.Lock()
	defer r.mu.Unlock()
	if err != nil {
		for k, v := range kept {
			if _, newer := r.kept[k]; !newer {
				r.kept[k] = v
			}
		}
		return fmt.Errorf("committing record: %w", err)
	}
	r.readings, r.opened = after(r.readings, readings, func(x Reading) int64 { return x.Seq }), time.Now()
	r.events = after(r.events, events, func(x Event) int64 { return x.Seq })
	r.tell()
	return nil
}

// after is what of open is newer than the last of written.
func after[T any](open, written []T, seq func(T) int64) []T {
	if len(written) == 0 {
		return open
	}
	last := seq(written[len(written)-1])
	for i := range open {
		if seq(open[i]) > last {
			return append([]T(nil), open[i:]...)
		}
	}
	return nil
}

func (r *Record) transact(ctx context.Context, readings []Reading, events []Event, kept map[string]string) error {
	tx, err := r.write.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback() //nolint:errcheck // after a commit this does nothing
	for _, x := range readings {
		if err := insertReading(ctx, tx, x); err != nil {
			return err
		}
	}
	for _, e := range events {
		_, err := tx.ExecContext(ctx, "INSERT INTO event VALUES (?,?,?,?,?,?,?)",
			e.Seq, e.At.UnixMilli(), e.Loop, e.Simulated, string(e.Kind), e.Code, string(e.Body))
		if err != nil {
			return err
		}
	}
	for k, v := range kept {
		if _, err := tx.ExecContext(ctx, "INSERT OR REPLACE INTO kept VALUES (?,?)", k, v); err != nil {
			return err
		}
	}
	return tx.Commit()
}

func insertReading(ctx context.Context, tx *sql.Tx, x Reading) error {
	args := []any{x.Seq, x.At.UnixMilli(), x.Loop, x.Simulated}
	for p := range control.Places {
		args = append(args, x.Places[p].sql(), x.Places[p].age())
	}
	args = append(args, x.Volts.sql(), x.Amps.sql(), x.Volts.age(), x.Charge.sql(), round(x.Band, 4),
		x.Mode.String(), x.Reason.String(), float64(x.Outputs.Pump), float64(x.Outputs.Fans), x.Outputs.Closed, x.Outputs.Buzzer, troubleText(x.Trouble), x.Heating.sql())
	_, err := tx.ExecContext(ctx, "INSERT INTO reading VALUES ("+strings.Repeat("?,", len(args)-1)+"?)", args...)
	return err
}

func troubleText(t map[string]string) any {
	if len(t) == 0 {
		return nil
	}
	b, err := json.Marshal(t)
	if err != nil { // a map of strings always marshals
		return nil
	}
	return string(b)
}
