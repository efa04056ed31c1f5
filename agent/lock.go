package agent

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"syscall"
)

// errRunning says that another process holds the state folder.
var errRunning = errors.New("another duskloop is running")

// lock takes the state folder for this process; the kernel gives it back when
// the process ends, however it ends.
func lock(dir string) (*os.File, error) {
	if err := os.MkdirAll(dir, 0o750); err != nil {
		return nil, fmt.Errorf("making state folder: %w", err)
	}
	f, err := os.OpenFile(filepath.Join(dir, "lock"), os.O_CREATE|os.O_RDWR, 0o640)
	if err != nil {
		return nil, fmt.Errorf("locking state folder: %w", err)
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		_ = f.Close()
		if errors.Is(err, syscall.EWOULDBLOCK) {
			return nil, fmt.Errorf("%w in %s", errRunning, dir)
		}
		return nil, fmt.Errorf("locking state folder: %w", err)
	}
	return f, nil
}
