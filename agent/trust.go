package agent

import (
	"os"
	"path/filepath"
	"strings"
	"time"

	"golang.org/x/sys/unix"
)

// oldest is a date that any honest clock has passed: this program is younger.
var oldest = time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC)

// clockTrusted says whether wall time has been set since boot: the kernel says
// that it is synchronised (adjtimex(2): TIME_ERROR means it is not), or it was
// read from a battery clock at boot (hctosys, Documentation/ABI/testing/
// rtc-class in the kernel's tree). A clock before this program was written is
// never trusted.
func clockTrusted(sysRoot string) bool {
	if time.Now().Before(oldest) {
		return false
	}
	var tx unix.Timex
	if state, err := unix.Adjtimex(&tx); err == nil && state != unix.TIME_ERROR {
		return true
	}
	clocks, _ := filepath.Glob(filepath.Join(sysRoot, "class/rtc/rtc*/hctosys"))
	for _, c := range clocks {
		if b, err := os.ReadFile(c); err == nil && strings.TrimSpace(string(b)) == "1" {
			return true
		}
	}
	return false
}
