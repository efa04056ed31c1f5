package access

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// fileName is where the hash is kept, in the state folder.
const fileName = "password"

// longestFile is more than any hash that is believed takes, in bytes.
const longestFile = 512

// readHash reads the file; nil where there is none. Whoever reads the file can try
// passwords at leisure, so one that others can read is refused too.
func readHash(path string) (*hashed, error) {
	info, err := os.Lstat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("reading the password's file: %w", err)
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%w: %s is no plain file", ErrDamaged, path)
	}
	if info.Mode().Perm()&0o077 != 0 {
		return nil, fmt.Errorf("the password's file %s can be read or written by others (%v); if nobody did, chmod 600 it", path, info.Mode().Perm())
	}
	return readLine(path)
}

// readLine reads the one line.
func readLine(path string) (*hashed, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("reading the password's file: %w", err)
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, longestFile+1))
	if err != nil {
		return nil, fmt.Errorf("reading the password's file: %w", err)
	}
	h, err := parseHash(strings.TrimSuffix(string(text), "\n"))
	if err != nil {
		return nil, fmt.Errorf("%w (%s); move it away and start again for a link that sets a new password", err, path)
	}
	return h, nil
}

// keep writes the file anew, by a rename: after a power cut there is the old or the new.
func (h *hashed) keep(path string) error {
	part := path + ".new"
	err := os.Remove(part) // left by a power cut
	if errors.Is(err, fs.ErrNotExist) {
		err = nil
	}
	if err == nil {
		err = writeNew(part, h.phc()+"\n")
	}
	if err == nil {
		err = os.Rename(part, path)
	}
	if err == nil {
		err = syncFolder(filepath.Dir(path))
	}
	if err != nil {
		return fmt.Errorf("keeping the password's hash: %w", err)
	}
	return nil
}

// writeNew makes a file that was not there, and waits until it is on the disk.
func writeNew(path, text string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = f.WriteString(text)
	return errors.Join(err, f.Sync(), f.Close())
}

// syncFolder makes a rename last.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
