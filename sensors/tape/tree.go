package tape

import (
	"slices"
	"strings"
	"time"
)

// Tree is the part of sysfs that the 1-Wire driver uses (onewire.Tree).
type Tree interface {
	List(dir string) ([]string, error)
	Read(file string) ([]byte, error)
	Write(file string, text []byte) error
}

// Verbs of a Tree.
const (
	list  = "list"
	read  = "read"
	write = "write"
)

// TreeRecorder passes operations on to a Tree and records them.
type TreeRecorder struct {
	recording
	tree Tree
}

// TreePlayer answers as the recorded Tree did.
type TreePlayer struct{ playing }

// Both stand in for a Tree.
var (
	_ Tree = (*TreeRecorder)(nil)
	_ Tree = (*TreePlayer)(nil)
)

// RecordTree listens to tree.
func RecordTree(tree Tree) *TreeRecorder { return &TreeRecorder{tree: tree} }

// PlayTree plays ops.
func PlayTree(ops []Op) *TreePlayer { return &TreePlayer{playing{left: slices.Clone(ops)}} }

// List implements Tree. Names are recorded one a line, in order of name.
func (r *TreeRecorder) List(dir string) ([]string, error) {
	began := time.Now()
	names, err := r.tree.List(dir)
	sorted := slices.Sorted(slices.Values(names))
	r.add(Op{Verb: list, Subject: dir, Got: strings.Join(sorted, "\n")}, began, err)
	return names, err
}

// Read implements Tree.
func (r *TreeRecorder) Read(file string) ([]byte, error) {
	began := time.Now()
	text, err := r.tree.Read(file)
	r.add(Op{Verb: read, Subject: file, Got: string(text)}, began, err)
	return text, err
}

// Write implements Tree.
func (r *TreeRecorder) Write(file string, text []byte) error {
	began := time.Now()
	err := r.tree.Write(file, text)
	r.add(Op{Verb: write, Subject: file, Sent: string(text)}, began, err)
	return err
}

// List implements Tree.
func (p *TreePlayer) List(dir string) ([]string, error) {
	op, err := p.next(list, dir, "")
	if err != nil || op.Fault != "" || op.Got == "" {
		return nil, or(err, op)
	}
	return strings.Split(op.Got, "\n"), nil
}

// Read implements Tree.
func (p *TreePlayer) Read(file string) ([]byte, error) {
	op, err := p.next(read, file, "")
	return []byte(op.Got), or(err, op)
}

// Write implements Tree.
func (p *TreePlayer) Write(file string, text []byte) error {
	op, err := p.next(write, file, string(text))
	return or(err, op)
}

// or is err, or else the fault on the tape.
func or(err error, op Op) error {
	if err != nil {
		return err
	}
	return op.fault()
}
