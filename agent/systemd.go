package agent

import "github.com/coreos/go-systemd/v22/daemon"

// The service manager is told by sd_notify(3); without one these do nothing.
// An error means that nobody listens, which is no fault of ours.

func notifyReady()    { _, _ = daemon.SdNotify(false, daemon.SdNotifyReady) }
func notifyStopping() { _, _ = daemon.SdNotify(false, daemon.SdNotifyStopping) }

// notifyAlive feeds the watchdog. It is called by the loop at the end of each
// cycle and by nobody else, so that a loop that stands still is ended, however
// well the rest of the process does. A dead probe does not stop it: for that
// the loop has rules, and a restart would mend nothing.
func notifyAlive() { _, _ = daemon.SdNotify(false, daemon.SdNotifyWatchdog) }
