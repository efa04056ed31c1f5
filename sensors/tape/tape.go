// Package tape records what passes between a driver and its hardware, and
// plays it back, so that a test can run a driver on what a real board once
// said.
//
// There are two places to listen: between the 1-Wire driver and the kernel's
// tree (TreeRecorder, TreePlayer), and between the Poller and any bus
// (BusRecorder, BusPlayer). For I²C periph has its own pair (i2ctest).
//
// A player is strict: an operation that is not next on the tape for its subject
// fails, and Close fails if that happened or if operations are left over.
// Operations on different subjects may come in any order, because probes are
// read side by side. Times are recorded and not replayed: answers come at once.
package tape

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"sync"
	"time"

	"duskloop/sensors"
)

// Op is one operation: a verb, what it was done to, and the answer.
type Op struct {
	Verb    string        `json:"verb"`
	Subject string        `json:"subject"`
	Sent    string        `json:"sent,omitempty"`
	Got     string        `json:"got,omitempty"`
	Fault   string        `json:"fault,omitempty"`
	Took    time.Duration `json:"took_ns"`
}

// Save writes ops as one JSON document a line.
func Save(w io.Writer, ops []Op) error {
	lines := json.NewEncoder(w)
	for i, op := range ops {
		if err := lines.Encode(op); err != nil {
			return fmt.Errorf("writing tape, operation %d: %w", i, err)
		}
	}
	return nil
}

// Load reads what Save wrote.
func Load(r io.Reader) ([]Op, error) {
	var ops []Op
	lines := bufio.NewScanner(r)
	for lines.Scan() {
		var op Op
		if err := json.Unmarshal(lines.Bytes(), &op); err != nil {
			return nil, fmt.Errorf("reading tape, operation %d: %w", len(ops), err)
		}
		ops = append(ops, op)
	}
	if err := lines.Err(); err != nil {
		return nil, fmt.Errorf("reading tape: %w", err)
	}
	return ops, nil
}

// recording collects operations.
type recording struct {
	mu  sync.Mutex
	ops []Op
}

// add notes an operation that began at a time and ended now.
func (r *recording) add(op Op, began time.Time, err error) {
	op.Took = time.Since(began)
	if err != nil {
		op.Fault = err.Error()
		for _, known := range faults {
			if errors.Is(err, known) {
				op.Fault = known.Error()
			}
		}
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.ops = append(r.ops, op)
}

// Ops is the tape so far.
func (r *recording) Ops() []Op {
	r.mu.Lock()
	defer r.mu.Unlock()
	return append([]Op(nil), r.ops...)
}

// faults are the errors that callers tell apart, and so must come back as
// themselves.
var faults = [...]error{fs.ErrNotExist, fs.ErrPermission, sensors.ErrNothingThere}

// fault is the error that op recorded.
func (op Op) fault() error {
	if op.Fault == "" {
		return nil
	}
	for _, known := range faults {
		if op.Fault == known.Error() {
			return known
		}
	}
	return errors.New(op.Fault)
}

// ErrUnexpected is wrapped when an operation is not on the tape.
var ErrUnexpected = errors.New("not on the tape")

// playing hands out operations.
type playing struct {
	mu      sync.Mutex
	left    []Op
	strange []error
}

// next takes the next operation on a subject; it must be of this verb and have
// sent the same.
func (p *playing) next(verb, subject, sent string) (Op, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for i, op := range p.left {
		if op.Subject != subject {
			continue
		}
		if op.Verb == verb && op.Sent == sent {
			p.left = append(p.left[:i:i], p.left[i+1:]...)
			return op, nil
		}
		break
	}
	err := fmt.Errorf("%s %s %q: %w", verb, subject, sent, ErrUnexpected)
	p.strange = append(p.strange, err)
	return Op{}, err
}

// Close reports every operation that was unexpected or left over.
func (p *playing) Close() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	faults := append([]error(nil), p.strange...)
	for _, op := range p.left {
		faults = append(faults, fmt.Errorf("%s %s: left on the tape", op.Verb, op.Subject))
	}
	return errors.Join(faults...)
}
