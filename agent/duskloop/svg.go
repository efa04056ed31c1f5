package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// replacement is a file on its way: written beside the old one and put in its
// place in one rename, so that nobody ever reads half a picture.
type replacement struct {
	flag, path string
	new        *os.File
}

// replace begins a file. It fails at once where the file could not be written in the
// end, before anything long is computed for it.
func replace(path string) (*replacement, error) { return replaceFor("--svg", path, isSVG) }

// replaceFor is replace for a flag of another name and files of another kind.
func replaceFor(flag, path string, is kept) (*replacement, error) {
	if err := replaceable(path, is); err != nil {
		return nil, fmt.Errorf("%s: %w", flag, err)
	}
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		if p, is := errors.AsType[*fs.PathError](err); is {
			err = p.Err // the name in it is not the one that was asked for
		}
		return nil, fmt.Errorf("%s: %s cannot be written: %w", flag, path, err)
	}
	return &replacement{flag: flag, path: path, new: f}, nil
}

// replaceable refuses what a rename would replace although it must not: what is no file, may
// not be written, or holds something else than what is written now.
func replaceable(path string, is kept) error {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return fmt.Errorf("%s is no plain file", path)
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	if err := f.Close(); err != nil || info.Size() == 0 {
		return err
	}
	return is(path)
}

// finish writes the text and puts the file in place; on any error the old one stays.
func (r *replacement) finish(write func(io.Writer) error) error {
	w := bufio.NewWriter(r.new)
	err := errors.Join(write(w), w.Flush(), r.new.Chmod(0o644), r.new.Sync())
	if err == nil {
		err = r.new.Close()
	}
	if err == nil {
		err = os.Rename(r.new.Name(), r.path)
	}
	if err != nil {
		r.drop()
		return fmt.Errorf("%s %s: %w", r.flag, r.path, err)
	}
	r.new = nil
	return nil
}

// drop removes what was begun; nothing after finish.
func (r *replacement) drop() {
	if r == nil || r.new == nil {
		return
	}
	_ = r.new.Close()
	_ = os.Remove(r.new.Name()) // nobody reads it
	r.new = nil
}
