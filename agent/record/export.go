package record

import (
	"context"
	"database/sql"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"time"

	"duskloop/control"
	"duskloop/sensors/quantity"
)

func share(v float64) quantity.Share { return quantity.Share(v) }

// Reader reads a record that another process may be writing.
type Reader struct{ db *sql.DB }

// Close closes the file.
func (r *Reader) Close() error { return r.db.Close() }

// Readings writes the readings from the first time up to but not including the
// second as CSV with a header line; times are RFC 3339 in UTC. It returns how
// many rows it wrote.
func (r *Reader) Readings(ctx context.Context, w io.Writer, from, to time.Time) (int, error) {
	out := csv.NewWriter(w)
	if err := out.Write(readingHeader()); err != nil {
		return 0, err
	}
	n := 0
	err := r.Each(ctx, from, to, func(x Reading) error {
		n++
		return out.Write(readingFields(x))
	})
	if err != nil {
		return n, err
	}
	out.Flush()
	return n, out.Error()
}

// Each calls do with every reading from the first time up to but not including the
// second, in the order in which they were recorded, until it returns an error.
func (r *Reader) Each(ctx context.Context, from, to time.Time, do func(Reading) error) error {
	for seq := int64(0); ; {
		rows, err := selectReadings(ctx, r.db, "seq > ? AND at >= ? AND at < ? ORDER BY seq LIMIT 1000", seq, from.UnixMilli(), to.UnixMilli())
		if err != nil {
			return err
		}
		for _, x := range rows {
			if err := do(x); err != nil {
				return err
			}
		}
		if len(rows) == 0 {
			return nil
		}
		seq = rows[len(rows)-1].Seq
	}
}

func readingHeader() []string {
	h := []string{"time", "loop", "simulated"}
	for p := range control.Places {
		h = append(h, p.String()+"_c")
	}
	return append(h, "battery_v", "battery_a", "charge_pct", "charge_band_pct", "mode", "reason", "pump", "fans", "contactor_closed", "buzzer", "trouble", "heating_w")
}

func readingFields(x Reading) []string {
	f := []string{x.At.UTC().Format(time.RFC3339), x.Loop, strconv.FormatBool(x.Simulated)}
	for p := range control.Places {
		f = append(f, x.Places[p].text(3))
	}
	trouble := ""
	if t := troubleText(x.Trouble); t != nil {
		trouble = fmt.Sprint(t)
	}
	percent := x.Charge
	percent.V *= 100
	return append(f, x.Volts.text(3), x.Amps.text(3), percent.text(1), number(x.Band*100, 1),
		x.Mode.String(), x.Reason.String(), number(float64(x.Outputs.Pump), 2), number(float64(x.Outputs.Fans), 2),
		strconv.FormatBool(x.Outputs.Closed), strconv.FormatBool(x.Outputs.Buzzer), trouble, x.Heating.text(1))
}

// text is the value, or nothing where it is not known.
func (v Value) text(digits int) string {
	if !v.OK {
		return ""
	}
	return number(v.V, digits)
}

func number(v float64, digits int) string { return strconv.FormatFloat(v, 'f', digits, 64) }

// Events writes the events of a time range as CSV, their bodies as JSON.
func (r *Reader) Events(ctx context.Context, w io.Writer, from, to time.Time) (int, error) {
	out := csv.NewWriter(w)
	if err := out.Write([]string{"time", "loop", "simulated", "kind", "code", "body"}); err != nil {
		return 0, err
	}
	n := 0
	err := r.eachEvent(ctx, from, to, func(e Event) error {
		n++
		return out.Write([]string{e.At.UTC().Format(time.RFC3339), e.Loop, strconv.FormatBool(e.Simulated), string(e.Kind), e.Code, string(e.Body)})
	})
	if err != nil {
		return n, err
	}
	out.Flush()
	return n, out.Error()
}

// eventsAtOnce are held in memory: a year of them is more than a small board should hold.
const eventsAtOnce = 500

// eachEvent calls do with every event of a time range in the order of the record, until it
// returns an error.
func (r *Reader) eachEvent(ctx context.Context, from, to time.Time, do func(Event) error) error {
	for seq := int64(0); ; {
		events, err := selectEvents(ctx, r.db, "seq > ? AND at >= ? AND at < ? ORDER BY seq LIMIT ?", seq, from.UnixMilli(), to.UnixMilli(), eventsAtOnce)
		if err != nil {
			return err
		}
		for _, e := range events {
			if err := do(e); err != nil {
				return err
			}
			seq = e.Seq
		}
		if len(events) < eventsAtOnce {
			return nil
		}
	}
}
