package onewire

import (
	"errors"
	"fmt"
	"os"
	"syscall"
)

// Tree is what the driver needs of sysfs. Names are relative to its top, with
// slashes, and follow links. A missing name is fs.ErrNotExist.
type Tree interface {
	// List is the names in a folder.
	List(dir string) ([]string, error)
	// Read is the whole text of a small file, in one read.
	Read(file string) ([]byte, error)
	// Write puts text into an existing file, in one write.
	Write(file string, text []byte) error
}

// Sysfs is the real tree, confined to its top folder: the links of the 1-Wire
// folder lead out of it but not out of /sys.
type Sysfs struct{ root *os.Root }

// OpenSysfs opens the tree at top, "/sys" on a real machine.
func OpenSysfs(top string) (*Sysfs, error) {
	root, err := os.OpenRoot(top)
	if err != nil {
		return nil, fmt.Errorf("opening sysfs: %w", err)
	}
	return &Sysfs{root: root}, nil
}

// Close lets go of the top folder.
func (s *Sysfs) Close() error { return s.root.Close() }

// List implements Tree.
func (s *Sysfs) List(dir string) ([]string, error) {
	f, err := s.root.Open(dir)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return f.Readdirnames(-1)
}

// longest is more than any file here holds; sysfs never gives more than a page.
const longest = 4096

// Read implements Tree with one plain read. The usual file functions would
// first hand the file to the poller (sysfs files allow that) and, should the
// driver answer EAGAIN, wait for an event that never comes; and they would read
// a second time for the end of the file, which here means measuring again.
func (s *Sysfs) Read(file string) ([]byte, error) {
	f, err := s.root.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	raw, err := f.SyscallConn()
	if err != nil {
		return nil, err
	}
	text := make([]byte, longest)
	var n int
	var failed error
	err = raw.Read(func(fd uintptr) bool {
		n, failed = syscall.Read(int(fd), text)
		for errors.Is(failed, syscall.EINTR) {
			n, failed = syscall.Read(int(fd), text)
		}
		return true
	})
	if err := errors.Join(err, failed); err != nil {
		return nil, fmt.Errorf("reading %s: %w", file, err)
	}
	return text[:n], nil
}

// Write implements Tree. It never creates a file.
func (s *Sysfs) Write(file string, text []byte) error {
	f, err := s.root.OpenFile(file, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	return errors.Join(err, f.Close())
}
