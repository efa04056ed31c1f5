package agent

import (
	"fmt"
	"os"
	"path/filepath"
	"syscall"
)

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
		return nil, fmt.Errorf("another duskloop is running in %s", dir)
	}
	return f, nil
}
