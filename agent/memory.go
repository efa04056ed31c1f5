package agent

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"duskloop/agent/record"
)

// openRecord opens the record. A disk that fails must stop neither control nor
// messages: the daemon then keeps a record for this run only, in memory or in
// the temporary folder, and an alert says so.
func (d *parts) openRecord() {
	opts := record.DefaultOptions()
	r := d.File.Record
	opts.Commit, opts.Rows = r.Commit.Duration(), int64(r.Keep.Duration()/d.File.Daemon.Period.Duration())
	path := filepath.Join(d.dir, RecordName)
	opened, err := record.Open(path, opts)
	if errors.Is(err, record.ErrDamaged) {
		opened, err = d.anew(path, opts, err)
	}
	if err == nil {
		d.record, d.memory = opened, opened
		return
	}
	d.Log.Error("the record cannot be opened; keeping one for this run only", "error", err)
	d.memory = forgetful{err: err, kept: make(map[string]string)}
	if d.spare, err = os.MkdirTemp(os.Getenv("RUNTIME_DIRECTORY"), "duskloop"); err != nil {
		d.Log.Error("no place for a record at all: nothing is sent either", "error", err)
		return
	}
	if opened, err = record.Open(filepath.Join(d.spare, RecordName), opts); err != nil {
		d.Log.Error("no record at all: nothing is sent either", "error", err)
		return
	}
	d.record, d.memory = opened, failing{opened, d.memory.Err()}
}

// anew sets a damaged record aside and begins a new one. Settings changed by
// command and orders by hand are lost with it, a hold included, which is said.
func (d *parts) anew(path string, opts record.Options, why error) (*record.Record, error) {
	aside, err := record.SetAside(path, time.Now())
	if err != nil {
		return nil, errors.Join(why, err)
	}
	text := "the record was damaged and set aside as " + aside + "; settings changed by command and orders by hand, a hold included, are lost"
	d.Log.Error(text, "error", why)
	if d.Out != nil {
		fmt.Fprintf(d.Out, "%s%s\n", d.mark(), text)
	}
	return record.Open(path, opts)
}

// failing is a record for this run only: it works, and tells why it is not the
// real one.
type failing struct {
	*record.Record
	err error
}

func (f failing) Err() error                  { return f.err }
func (f failing) Flush(context.Context) error { return f.err }

// forgetful stands where no record could be opened.
type forgetful struct {
	err  error
	kept map[string]string
}

func (f forgetful) Append(*record.Reading, ...record.Event) {}
func (f forgetful) Keep(name, value string)                 { f.kept[name] = value }
func (f forgetful) Kept(name string) (string, error)        { return f.kept[name], nil }
func (f forgetful) Err() error                              { return f.err }
func (f forgetful) Flush(context.Context) error             { return f.err }
