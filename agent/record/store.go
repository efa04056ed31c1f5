package record

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"time"

	"modernc.org/sqlite" // the pure-Go driver, under the name "sqlite"
)

// ErrDamaged says that the file is no sound database.
var ErrDamaged = errors.New("record is damaged")

// Options are how a record is kept.
type Options struct {
	Commit time.Duration // open batch is committed when its oldest row is this old
	Rows   int64         // single readings kept; hourly figures and events stay
	Most   int           // rows held in memory while the disk fails
}

// DefaultOptions are the greenhouse file's defaults: 400 days at 10 s.
func DefaultOptions() Options {
	return Options{Commit: time.Minute, Rows: 400 * 24 * 360, Most: 20000}
}

// Record is an open record. Its methods may be called from any goroutine.
type Record struct {
	opts  Options
	write *sql.DB
	read  *sql.DB

	// mu guards all below. It is never held while the disk is asked.
	mu          sync.Mutex
	readings    []Reading // open batch, oldest first
	opened      time.Time // when the open batch began
	events      []Event   // not committed yet
	kept        map[string]string
	nextReading int64
	nextEvent   int64
	latest      time.Time
	dropped     int64
	err         error // of the last commit
	tidyErr     error
	watchers    map[chan struct{}]struct{}
	wake        chan struct{}
	closed      bool
	done        chan struct{}
}

// Open opens or makes the record in the file at path. The folder is made if
// need be. Close must be called; it commits what is open.
func Open(path string, opts Options) (*Record, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, fmt.Errorf("making folder of record: %w", err)
	}
	r := &Record{
		opts: opts, kept: make(map[string]string),
		watchers: make(map[chan struct{}]struct{}),
		wake:     make(chan struct{}, 1), done: make(chan struct{}),
	}
	if err := r.open(path); err != nil {
		return nil, errors.Join(fmt.Errorf("opening record %s: %w", path, damage(err)), r.shut())
	}
	go r.run()
	return r, nil
}

func (r *Record) open(path string) error {
	var err error
	// FULL survives a power cut at any write; NORMAL does not (SQLite's pragma
	// documentation on synchronous in WAL mode).
	if r.write, err = connect(path, "rwc", "synchronous(FULL)", "journal_mode(WAL)", "busy_timeout(5000)"); err != nil {
		return err
	}
	r.write.SetMaxOpenConns(1)
	if err := r.prepare(); err != nil {
		return err
	}
	r.read, err = connect(path, "ro", "busy_timeout(5000)")
	if err != nil {
		return err
	}
	r.read.SetMaxOpenConns(4)
	return r.resume()
}

// OpenReadOnly opens an existing record for export beside a running daemon.
func OpenReadOnly(path string) (*Reader, error) {
	if _, err := os.Stat(path); err != nil {
		return nil, fmt.Errorf("opening record: %w", err)
	}
	db, err := connect(path, "ro", "busy_timeout(5000)")
	if err != nil {
		return nil, fmt.Errorf("opening record %s: %w", path, err)
	}
	return &Reader{db: db}, nil
}

func connect(path, mode string, pragmas ...string) (*sql.DB, error) {
	q := url.Values{"mode": {mode}, "_pragma": pragmas}
	return sql.Open("sqlite", "file:"+(&url.URL{Path: path}).EscapedPath()+"?"+q.Encode())
}

// prepare makes the tables and refuses a file of a newer version.
func (r *Record) prepare() error {
	var v int
	if err := r.write.QueryRow("PRAGMA user_version").Scan(&v); err != nil {
		return err
	}
	if v > version {
		return fmt.Errorf("written by a newer version (%d, this one knows %d)", v, version)
	}
	if _, err := r.write.Exec(schema()); err != nil {
		return err
	}
	if err := r.widen(); err != nil {
		return err
	}
	_, err := r.write.Exec(fmt.Sprintf("PRAGMA user_version = %d", version))
	return err
}

// widen gives a file of version 1 the column that it lacks.
func (r *Record) widen() error {
	has, err := hasHeating(context.Background(), r.write)
	if err != nil || has {
		return err
	}
	_, err = r.write.Exec("ALTER TABLE reading ADD COLUMN " + heating)
	return err
}

// resume finds where the record ends.
func (r *Record) resume() error {
	var last, at int64
	var mode string // read so that the row itself is, and not an index alone
	err := r.read.QueryRow("SELECT seq, at, mode FROM reading ORDER BY seq DESC LIMIT 1").Scan(&last, &at, &mode)
	switch {
	case err == nil:
		r.latest = time.UnixMilli(at)
	case !errors.Is(err, sql.ErrNoRows):
		return err
	}
	r.nextReading = last + 1
	if err := r.read.QueryRow("SELECT coalesce(max(seq),0)+1 FROM event").Scan(&r.nextEvent); err != nil {
		return err
	}
	return r.readKept()
}

// readKept reads all that was kept, so that damage there shows now and not when
// a part of the daemon asks for its piece. The whole file is not checked: on a slow
// card that takes minutes, in which nothing would be decided.
func (r *Record) readKept() error {
	var n sql.NullInt64
	return r.read.QueryRow("SELECT sum(length(name) + length(value)) FROM kept").Scan(&n)
}

// damage marks an error that says the file is no sound database (SQLite result
// codes SQLITE_CORRUPT 11 and SQLITE_NOTADB 26).
func damage(err error) error {
	if e, ok := errors.AsType[*sqlite.Error](err); ok && (e.Code()&0xff == 11 || e.Code()&0xff == 26) {
		return fmt.Errorf("%w: %w", ErrDamaged, err)
	}
	return err
}

// IsDamaged says that an error comes of a file that is no sound database, met at opening or
// while it is read.
func IsDamaged(err error) bool { return errors.Is(damage(err), ErrDamaged) }

// SetAside moves a damaged record out of the way, with what belongs to it, and
// returns its new name. It is not deleted: somebody may still read it.
func SetAside(path string, now time.Time) (string, error) {
	to := fmt.Sprintf("%s.damaged-%d", path, now.Unix())
	for _, part := range []string{"-wal", "-shm", ""} {
		if err := os.Rename(path+part, to+part); err != nil && !errors.Is(err, os.ErrNotExist) {
			return to, fmt.Errorf("setting the damaged record aside: %w", err)
		}
	}
	return to, nil
}

// Latest is the time of the newest committed reading at opening; zero if none.
func (r *Record) Latest() time.Time {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.latest
}

// Close commits what is open and closes the file. Rows that could not be
// written are lost, and the error says so.
func (r *Record) Close() error {
	r.mu.Lock()
	if r.closed {
		r.mu.Unlock()
		return nil
	}
	r.closed = true
	r.mu.Unlock()
	r.nudge()
	<-r.done
	err := r.commit(context.Background())
	return errors.Join(err, r.shut())
}

func (r *Record) shut() error {
	var errs []error
	for _, db := range []*sql.DB{r.read, r.write} {
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return errors.Join(errs...)
}
